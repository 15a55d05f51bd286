"""More wordings for the safety pass, written after it and without looking at it: dangers and plain recipes.

Form of a case: safety_cases.py; before the sign # stands the caution that must be raised.
"""

from __future__ import annotations

DANGERS: tuple[str, ...] = (
    "poultry-core # Tray of wings | 1.5 kg chicken wings; salt | Toss the wings in oil. / Spread on a "
    "tray and bake 45 minutes at 220 °C until crisp.",
    "poultry-core # Poussins | 2 poussins; butter | Rub the birds with butter. / Roast at gas mark 6 for "
    "50 minutes; prick the thigh, the juice should be clear.",
    "poultry-core # Coq | 1 cockerel, jointed; or chicken joints; wine | Brown the joints, add wine, and "
    "simmer gently until the meat falls from the bone.",
    "poultry-core # Schnitzel | 4 turkey escalopes | Shallow-fry three minutes a side.",
    "poultry-core # Christmas goose | 5 kg goose | Put the goose on a rack in a hot oven for 3 hours, "
    "pouring off the fat.",
    "mince-core # Cottage pie | 500g lean lamb mince; potatoes | Fry the mince with the onions. / Top "
    "with mash and bake for 30 minutes.",
    "mince-core # Köfte | 400 g ground lamb | Shape into fingers and grill 4 minutes each side.",
    "mince-core # Toad in the hole | 8 sausages; flour; eggs; milk | Brown the sausages in the tin. / "
    "Pour over the batter and bake 35 minutes.",
    "mince-core # Chilli | 1 lb hamburger meat; beans | Brown the meat, drain, add beans and simmer 20 minutes.",
    "pork-core # Pork fillet | 600 g pork fillet | Sear the fillet and roast 15 minutes at 200C.",
    "pork-core # Ribs | 1 rack spareribs | Grill for half an hour.",
    "rolled-core # Stuffed lamb | 1 boned leg of lamb; breadcrumbs | Spread the stuffing over the meat, "
    "roll up and tie with string. / Roast for 75 minutes.",
    "rolled-core # Porchetta | pork belly; herbs | Roll the belly up tightly and tie it at intervals. / "
    "Roast at 160 °C for 50 minutes.",
    "stuffing-core # Roast turkey | 6 kg turkey; sage and onion stuffing | Push the stuffing into the "
    "neck end of the turkey. / Roast to 74 °C in the thigh.",
    "stuffing-core # Stuffed chicken | 1 chicken; sausagemeat | Pack the sausagemeat stuffing inside the "
    "chicken and sew it up. / Roast to 165°F.",
    "core-below-advised # Turkey breast | 1 turkey breast | Take it out when the probe shows 65C.",
    "core-below-advised # Pork loin | pork loin | Roast until the internal temp is 58°C.",
    "core-below-advised # Sous vide chicken | 2 chicken breasts | Cook in a water bath at 60 °C until "
    "the core is 60 °C.",
    "core-below-choice # Fillet | 1 kg beef fillet | For rare, roast to a core temperature of 50 degrees C.",
    "core-below-choice # Lamb rump | lamb rumps | Roast until a meat thermometer registers 125 degrees.",
    "pink-inside # Duck | 2 duck breasts | Roast for 8 minutes; the meat should be rosy inside.",
    "pink-inside # Livers | 400 g chicken livers | Fry quickly so they remain pink at the centre.",
    "pink-inside # Pork | pork tenderloin | Pork may be served slightly pink.",
    "slow-poultry # Slow chicken | 1 large chicken | Roast in a cool oven (gas mark 1/4) for six hours.",
    "slow-poultry # Confit | 6 duck legs; fat | Cover with fat and cook at 90C for 4 hours.",
    "slow-poultry # Overnight turkey | 1 turkey | Set the oven to 95 degrees C and leave the turkey in for ten hours.",
    "slow-joint # Rare beef | beef topside joint | Roast at 70 °C for 5 hours.",
    "slow-start # Casserole | 1 kg diced beef | Tip everything into the slow cooker. Cook on high for 5 hours.",
    "from-frozen # Thighs | frozen chicken thighs | Bake straight from the freezer for 50 minutes.",
    "from-frozen # Burgers | 4 frozen beef burgers | Grill the burgers 8 minutes per side.",
    "kidney-beans # Rajma | 250g rajma, soaked overnight | Add the rajma to the masala and simmer until soft.",
    "kidney-beans # Chilli | 1 lb dry red kidney beans | Put the soaked beans and everything else in the "
    "crockpot on low for 10 hours.",
    "kidney-beans # Baked beans | 500 g dried haricot beans | Soak. / Put in a pot with treacle and bake "
    "in a low oven all night.",
    "kept-warm # Buffet | chicken curry: 1 kg chicken | Keep the curry warm for up to 4 hours.",
    "kept-warm # Pulled pork | 2 kg pork shoulder | Wrap and hold in a 55 °C oven until serving.",
    "left-out # Stew | 1 kg beef | Leave the pot of stew on the stove at room temperature overnight.",
    "left-out # Chicken salad | cooked chicken | Let the chicken sit out for 3 hours.",
    "marinate-warm # Kebabs | lamb | Cover the meat with the marinade and leave at room temperature for 4 hours.",
    "thawed-warm # Roast | frozen leg of lamb | Defrost the lamb at room temperature overnight.",
    "slow-cooling # Chicken stock | bones | Leave to cool overnight, then skim the fat.",
    "slow-cooling # Ham | 3 kg ham | Let the ham cool in its liquid.",
    "rice-left # Rice | rice | Leave the cooked rice out overnight.",
    "rice-left # Rice | rice | The rice can be kept warm in a low oven.",
    "reheat # Curry | 1 kg lamb | Cool and chill. / Re-heat before serving.",
    "washed-poultry # Bird | 1 chicken | Wash inside and out with cold water. / Roast to 165 F internal temperature.",
    "washed-poultry # Bird | 1 duck | Clean the duck and rinse well. / Roast to a core of 75 °C.",
    "dried-meat # Venison jerky | venison | Lay the strips on racks in the oven at 60 °C until dry.",
    "raw-egg # Lemon mousse | 3 eggs; lemons; cream | Whisk the yolks with sugar. / Fold in the whites "
    "and chill until set.",
    "raw-egg # Caesar salad | 1 raw egg; lettuce | Beat the raw egg with the oil and toss.",
    "raw-egg # Aioli | 2 yolks; garlic; oil | Pound garlic, add yolks, and drip in the oil.",
    "raw-egg # Eggs | eggs | Boil for 5 minutes so that the yolk is runny.",
    "raw-dough # Brownies | flour; eggs | Lick the bowl while they bake.",
    "deep-fat # Fish | cod; flour; oil | Lower the fish into the deep fat fryer.",
    "deep-fat # Doughnuts | flour; oil | Heat 5 cm of oil in a pan to 170C. / Fry the doughnuts.",
    "deep-fat # Samosas | flour | Fry in plenty of hot oil (180°C) until crisp.",
    "deep-fat # Fries | potatoes | Half fill a pan with oil and heat; fry in batches.",
    "oil-alone # Stew | oil; onions | Put the oil in a pan over high heat and, while it heats, slice the onions.",
    "oil-alone # Wok | oil | Heat the wok and oil until smoking.",
    "water-on-fat # X | oil | Add a splash of cold water to the hot fat.",
    "sugar-burn # Praline | sugar; nuts | Heat the sugar in a dry pan until it caramelises.",
    "sugar-burn # Toffee apples | sugar; apples | Boil the syrup until a drop snaps in cold water (hard crack, 150C).",
    "sugar-burn # Crème caramel | sugar; eggs; milk | Make a caramel with the sugar and water.",
    "flambe # Steak Diane | steak; brandy | Add the brandy and set light to it.",
    "flambe # Crepes | liqueur | Tilt the pan to catch the flame and flambée the crêpes.",
    "charcoal-indoors # Biryani | rice | Place a glowing coal in a cup in the middle of the pan, drip "
    "ghee on it, cover.",
    "charcoal-indoors # Tea-smoked duck | duck | Line a wok with foil, add the tea and rice, and smoke "
    "the duck over high heat. Tea-smoking in a wok fills the kitchen.",
    "plastic-heated # Eggs | eggs | Tie the egg in cling film and lower into simmering water.",
    "plastic-heated # Ribs | ribs | Cover tightly with plastic wrap then foil and bake in the oven at 120 °C.",
    "closed-tin # Banoffee | 2 tins condensed milk | Stand the unopened tins in a pan of boiling water for 2 hours.",
    "closed-tin # DDL | sweetened condensed milk | Submerge the sealed can in water and simmer for 3 hours.",
    "home-canning # Canned soup | chicken soup; carrots | Ladle into jars. / Process the jars in a water "
    "bath for 90 minutes.",
    "home-canning # Oven bottling | plums | Put the filled jars in the oven at 140 °C for an hour.",
    "garlic-oil # Chilli garlic oil | garlic; chillies; oil | Bottle and store in a cool dark place for 2 weeks.",
    "cooling-oven # Beef | eye of round | Turn the oven off. / Leave the roast in the oven for 2 hours "
    "without opening the door.",
    "cooling-oven # Chicken | 1 chicken | Bake 30 minutes, then switch off the oven and let the chicken "
    "finish in the residual heat.",
    "overnight-oven # Brisket | brisket | Put it in the oven before bed and cook overnight at 110 °C.",
    "door-ajar # Cake | eggs | Prop the oven door open with a wooden spoon and leave the cheesecake for an hour.",
    "mince-core # Pilau | 250 g minced lamb (you could use beef or imitation meat) | Fry the lamb for 8 minutes.",
    "poultry-core # Pie | 4 chicken thighs, or leftover turkey | Bake for 40 minutes.",
    "kidney-beans # Red beans | 1 lb dry kidney beans | Cover the beans, bring to the boil, and simmer. "
    "/ They are soft about an hour after boiling starts.",
    "kidney-beans # Beans | 1 cup dried beans | Bring to a boil and let sit for an hour. / Simmer until tender.",
    "poultry-core # Chops and wings | 1 kg chicken wings | Grill for 4 minutes, then rotate 90° and grill on.",
)

PLAIN: tuple[str, ...] = (
    "Leek risotto | 1 l chicken stock; rice | Simmer the rice, adding hot stock, for 18 minutes.",
    "Ham sandwich | ham; bread | Toast the bread.",
    "Carbonated drink | sugar | Dissolve the sugar in water.",
    "Roast potatoes | potatoes; goose fat | Heat the goose fat in the tin in the oven, add the potatoes "
    "and roast for 50 minutes.",
    "Egg fried noodles | noodles; 2 eggs; oil | Scramble the eggs in the oil. / Add the noodles.",
    "Duck egg sponge | 2 duck eggs; flour | Bake for 25 minutes.",
    "Turkey rhubarb | rhubarb from Turkey; sugar | Simmer for 10 minutes.",
    "Mincemeat tart | mincemeat; pastry | Bake for 20 minutes.",
    "Ground almond cake | ground almonds; eggs | Bake for 40 minutes. / Leave in the tin until cool.",
    "Bread | flour; yeast; oil | Leave in a warm place for 2 hours. / Bake at 230 °C.",
    "Sourdough | flour; starter | Leave at room temperature overnight. / Bake.",
    "Yogurt | milk; culture | Keep warm at 43 °C for 8 hours.",
    "Meringue | egg whites; sugar | Bake at 100 °C for two hours.",
    "Dried tomatoes | tomatoes | Dry in the oven at 80 °C for eight hours.",
    "Beef stock cubes soup | 2 beef stock cubes; barley | Simmer for an hour. / Serve hot.",
    "Green bean salad | green beans; oil | Boil for 5 minutes, cool under cold water.",
    "Caramelised onions | onions; butter; sugar | Cook slowly until caramelised.",
    "Marinated olives | olives; oil; herbs | Marinate for an hour at room temperature.",
    "Chocolate chip cookies | butter, at room temperature; flour; eggs | Chill the cookie dough for an "
    "hour. / Bake for 12 minutes. / Cool.",
    "Deep dish apple pie | apples; flour | Bake in a deep dish.",
    "Toast | bread | Grill until golden.",
    "Fish pie | cod; milk; potatoes | Poach the fish for 8 minutes. / Bake for 30 minutes.",
    "Tinned bean stew | 400 g tin kidney beans, drained; onions | Simmer for 30 minutes.",
    "Baked custard | eggs; milk | Bake in a water bath at 150 °C for 45 minutes.",
    "Ice cream | eggs; cream; milk | Heat the milk and yolks, stirring, until the custard thickens. / Chill and churn.",
    "Lemon curd | eggs; lemons; sugar | Cook over simmering water until thick. / Pour into sterilised jars.",
    "Gratin | potatoes; cream | Bake for an hour. / Leave to stand for 10 minutes.",
    "Cheesecake | eggs; cheese | Bake at 150 °C. / Leave to cool in the turned-off oven.",
    "Jam tart | jam; pastry | Bake for 15 minutes.",
    "Steak | 2 sirloin steaks | Sear for 90 seconds a side and rest for 5 minutes.",
    "Pancakes | eggs; flour; milk; oil | Heat a little oil in a pan. Pour in the batter and fry.",
    "Fruit cake | eggs; flour; raisins; brandy | Bake at 140 °C for 3 hours. / Feed with brandy.",
    "Vegan burgers | beans, tinned; oats | Fry the burgers for 4 minutes each side.",
    "Porridge | oats; milk | Simmer for 5 minutes.",
    "Roast lamb | leg of lamb | Roast at 200 °C for 90 minutes.",
    "Pot roast | beef brisket | Brown the beef. / Cover and cook at 150 °C for 3 hours.",
    "Poached pears | pears; wine | Poach for 25 minutes. / Cool in the syrup.",
    "Salt-baked fish | sea bass; salt | Bake for 25 minutes.",
    "Pickles | cucumbers; vinegar; sugar | Boil the vinegar and sugar. / Pour over the cucumbers in jars.",
    "Hummus | 1 tin chickpeas | Blend.",
)
