"""Cases of the safety pass: what must be caught in several wordings, and the harmless twins.

A case is "title | ingredient; ingredient | step / step". Brackets mark the
words that the caution must point at. All sentences are our own.
"""

from __future__ import annotations

CATCHES: dict[str, list[str]] = {
    "poultry-core": [
        "Roast chicken | 1 whole chicken; salt | Roast at 200 °C for 80 minutes, until the [juices run clear].",
        "Weeknight supper | 4 duck legs; salt | Fry the legs in a pan. / Bake for 40 minutes until [golden brown].",
        "Curry | 600 g boneless chicken thighs | Fry the onions. / Add the [chicken] and simmer for 30 minutes.",
        "Broth bowl | 2 turkey drumsticks | Boil the [turkey] in salted water until it looks white, then serve.",
    ],
    "mince-core": [
        "Patties | 500 g minced beef; 1 egg | Shape the beef. / Fry the patties until [browned] on both sides.",
        "Sauce | 1 lb ground turkey | Cook the turkey in a pan until [no longer pink].",
        "Bangers | 8 pork sausages | Bake the [sausages] for 25 minutes at 200 °C.",
        "Supper | beef, ground, 400 g | Brown the [beef, ground] twice, in a hot pan.",
    ],
    "pork-core": [
        "Chops | 4 pork chops | Fry the [pork] for 5 minutes on each side.",
        "Loin | 1 kg pork loin | Roast until the meat is [cooked through].",
    ],
    "rolled-core": [
        "Sunday joint | 1.5 kg beef | [Roll the beef around the filling, and tie it with string]. / Roast "
        "for 50 minutes.",
        "Loin | 1 kg pork; herbs | [Stuff the pork loin] with the herbs. / Roast for 50 minutes.",
        "Lamb | lamb shoulder | Season the [boned and rolled] lamb. / Roast for 45 minutes.",
    ],
    "stuffing-core": [
        "Feast | 1 turkey; bread; onions | [Stuff the turkey] with the bread mixture. / Roast to 165 °F in the breast.",
        "Feast | 1 goose; apples; bread | Spoon the [stuffing into the cavity]. / Roast to 74 °C in the thigh.",
        "Feast | 1 chicken; rice | Loosely [fill the bird with] cooked rice. / Roast until the thigh reaches 165°F.",
    ],
    "core-below-advised": [
        "Breast | 2 chicken breasts | Cook until the internal temperature reaches [60 °C].",
        "Burgers | 500 g ground beef | Fry until the core of the burger is [135°F].",
        "Turkey | 1 turkey crown | Roast until a thermometer in the breast reads [150 °F].",
    ],
    "core-below-choice": [
        "Rib | 2 kg rib of beef | Roast until the internal temperature is [52 °C], then rest.",
        "Lamb | 1 leg of lamb | Roast until a probe reads [130°F] in the thickest part.",
        "Salmon | 4 salmon fillets | Bake the salmon until its core reaches [48 °C].",
    ],
    "pink-inside": [
        "Duck | 2 duck breasts | Fry the duck so that it [is still pink] in the middle.",
        "Burger | 500 g minced beef | Serve the burgers [medium rare].",
        "Chops | 4 pork chops | Grill the pork until [slightly pink] at the bone.",
    ],
    "slow-poultry": [
        "Slow bird | 1 chicken | Put the chicken in the oven at [100 °C] for five hours.",
        "Slow bird | 1 turkey | Roast at [200°F] until done.",
        "Slow bird | 1 duck | Put the duck in a [very low oven] for the day.",
    ],
    "slow-mince": [
        "Loaf | 800 g minced pork | Bake the loaf at [110 °C] for three hours.",
        "Roll | 1 kg pork shoulder, boned and rolled | Roast at [95 °C] for six hours.",
    ],
    "slow-joint": [
        "Beef | 2 kg beef round roast | Season. / Roast at [200°F] for two hours.",
        "Lamb | 1 lamb shoulder | Cook the lamb in the oven at [90 °C].",
    ],
    "slow-start": [
        "Pot | 1 kg beef | Put everything in a [slow cooker] and cook on low for 8 hours.",
        "Pot | 4 chicken thighs | Place the thighs in the [crockpot] with the sauce.",
    ],
    "from-frozen": [
        "Bake | 4 frozen chicken breasts | Bake the chicken for an hour at 190 °C.",
        "Bake | 4 chicken breasts | The breasts can be cooked [from frozen]. / Bake for an hour.",
        "Roast | 1 beef joint | There is [no need to thaw] the meat. / Roast for three hours.",
    ],
    "kidney-beans": [
        "Chilli | 200 g dried kidney beans | Soak overnight. / Put the [beans] in the slow cooker for 8 hours.",
        "Stew | 1 cup dry borlotti beans | Cook the [beans] in the low oven until soft.",
        "Pot | 1 cup kidney beans, soaked overnight | Bring the [beans] to the boil, then simmer for two hours.",
        "Red pot | 2 cups kidney beans | Cook the [kidney beans] in the slow cooker on low.",
    ],
    "kept-warm": [
        "Roast | 1 kg beef | Roast for an hour. / [Keep warm] at 50 °C until the guests come.",
        "Stew | 1 kg lamb | Simmer. / It can be [kept warm] in the oven for four hours.",
        "Pulled | 2 kg pork | Braise for 3 hours. / [Hold it at] 130°F until needed.",
    ],
    "left-out": [
        "Soup | 1 chicken | Simmer for an hour. / Leave the soup [on the counter] overnight.",
        "Terrine | 500 g pork | Bake. / Let the meat stand at [room temperature] for 6 hours.",
    ],
    "marinate-warm": [
        "Skewers | 500 g lamb | Marinate the lamb at [room temperature] for three hours. / Grill.",
        "Wings | 1 kg chicken wings | Leave the chicken in the marinade [on the counter] for an hour.",
    ],
    "thawed-warm": ["Roast | 1 frozen turkey | Thaw the turkey [on the counter] overnight. / Roast to 165°F."],
    "slow-cooling": [
        "Beef stock | 2 kg beef bones | Simmer for six hours. / Strain and let it [cool].",
        "Stew | 1 kg beef | Simmer for two hours. / [Cool] the stew to room temperature overnight.",
        "Curry | 1 kg lamb | Let the curry [cool] slowly in the pot.",
    ],
    "rice-left": [
        "Rice | 300 g rice | Boil for 12 minutes. / [Keep the rice warm] until supper.",
        "Rice | 300 g rice | Boil. / Let the rice [cool] to room temperature.",
        "Fried rice | 3 cups [leftover rice]; 2 eggs | Fry in a hot pan.",
        "Rice salad | 300 g rice | Boil for 12 minutes. / [Leave] the rice overnight in the pan.",
    ],
    "reheat": [
        "Stew | 1 kg beef | Simmer for two hours. / Next day [reheat] the stew gently until warm.",
        "Lasagne | 500 g pasta | Bake. / [Reheat] the leftovers in the low oven.",
    ],
    "marinade-reused": [
        "Chicken | 1 kg chicken; oil | [Grill the chicken, basting with the marinade].",
        "Pork | 1 kg pork | Grill. / [Serve with the remaining marinade], warm.",
    ],
    "washed-poultry": [
        "Bird | 1 chicken | [Wash the chicken] and pat it dry. / Roast to 165°F.",
        "Bird | 1 duck | [Rinse the duck] inside and out. / Roast to 74 °C core.",
    ],
    "dried-meat": [
        "Beef jerky | 1 kg beef | [Dehydrate] the strips at 55 °C for six hours.",
        "Biltong | 2 kg beef | [Hang the strips to dry] for a week.",
    ],
    "raw-egg": [
        "Mayonnaise | 2 egg yolks; oil | Whisk the [yolks] and add the oil drop by drop.",
        "Chocolate mousse | 4 eggs; chocolate | Melt the chocolate. / Fold in the beaten [egg] whites and chill.",
        "Breakfast | 2 eggs | Serve the [soft-boiled] eggs with toast.",
        "Tiramisu | 3 eggs; coffee | Beat the [eggs] with the sugar. / Layer and chill.",
    ],
    "raw-dough": [
        "Cookies | flour; butter | Roll into balls. / [Taste the dough] and add salt. / Bake.",
        "Edible cookie dough | flour; butter; sugar | Stir the [flour] into the butter and eat with a spoon.",
    ],
    "deep-fat": [
        "Fritters | flour; oil | [Deep-fry] in batches until golden.",
        "Chips | potatoes; oil | Heat the oil to [180 °C] and fry the potatoes.",
        "Puffs | flour; oil | Fry in two [inches of hot oil].",
        "Rings | onions; oil | Pour in [enough oil to cover] the onions and fry.",
    ],
    "oil-alone": [
        "Stew | 1 onion; oil | [Heat the oil] in a pan over high heat. / Chop the onion and the carrots.",
        "Stew | 1 onion; oil | Heat the oil [until it smokes].",
        "Stew | 1 onion; oil | [While the oil heats], cut up the vegetables.",
    ],
    "water-on-fat": [
        "Sauce | oil; water | [Pour the water into the hot oil] and cover.",
        "Sauce | sugar; water | Melt the sugar. / [Add the water to the hot caramel].",
    ],
    "sugar-burn": [
        "Brittle | sugar; nuts | Boil the sugar and water to the [hard crack] stage.",
        "Flan | sugar; eggs | [Melt the sugar] in a dry pan until brown.",
        "Toffee | sugar; butter | Boil the sugar and butter to [150 °C].",
    ],
    "jam-boil-over": ["Plum jam | plums; sugar | Bring to a [rolling boil] and boil for ten minutes."],
    "flambe": [
        "Crepes | flour; brandy | Warm the brandy, pour it over and [flambé].",
        "Pudding | raisins; rum | Pour the rum over and [set it alight].",
    ],
    "charcoal-indoors": [
        "Smoked aubergine | aubergines | Put a live piece of [charcoal] in a small bowl in the pot, add ghee "
        "and cover.",
        "Ribs | pork ribs | If it rains, light the [barbecue] in the garage.",
    ],
    "plastic-heated": [
        "Pudding | eggs | Cover the bowl with [plastic wrap] and steam for an hour.",
        "Roulade | veal | Poach the roll in its [cling film] for twenty minutes.",
    ],
    "closed-tin": [
        "Milk caramel | 1 tin condensed milk | [Boil the unopened tin] in water for three hours.",
        "Milk caramel | 1 can condensed milk | Put the can in a pan and [simmer the can] for two hours.",
    ],
    "home-canning": [
        "Green beans in jars | beans; salt | Fill the jars. / [Process for 40 minutes in a boiling water "
        "bath]; cool the jars.",
        "Pears | pears; sugar | Close the [jars and stand them in the oven] for an hour.",
    ],
    "garlic-oil": [
        "Garlic oil | garlic; oil | Put the garlic in the oil and keep it at [room temperature] for a month.",
    ],
    "cooling-oven": [
        "Roast | 1 kg beef | Roast for ten minutes. / [Turn off the oven] and leave the meat inside for two hours.",
        "Bird | 1 chicken | Roast to 165°F. / [Switch the oven off] and let the chicken stay in it.",
    ],
    "overnight-oven": ["Shoulder | 3 kg pork | Brown the pork. / Leave it in the oven [overnight] at 130 °C."],
    "door-ajar": [
        "Meringues | egg whites; sugar | Dry them with the oven door [ajar].",
        "Pavlova | egg whites; sugar | Bake. / Leave it to cool with the [door slightly open], in the oven.",
    ],
}

TWINS: dict[str, list[str]] = {
    "poultry-core": [
        "Roast chicken | 1 whole chicken | Roast until the thickest part reaches 165 °F and the juices run clear.",
        "Soup | 1 l chicken stock; leeks | Simmer the leeks in the chicken stock for 20 minutes.",
        "Salad | 300 g cooked chicken | Fry the bread. / Add the chicken and serve.",
        "Pie | 2 cups turkey or chicken broth; peas | Cook the peas until tender. / Add the broth.",
        "Steak | 4 beef steaks | Coat as for chicken-fried steak and fry for 3 minutes.",
        "Bird | 1 chicken | Cook to a core of 70 °C and hold it there for 2 minutes.",
        "Pilaf | 200 g bulgur | A dish from Turkey. Cook the bulgur for 15 minutes.",
        "Chicken stock | 1 chicken | Simmer for three hours and strain.",
    ],
    "mince-core": [
        "Loaf | 800 g minced beef | Bake until a thermometer in the middle reads 71 °C.",
        "Pies | 400 g mincemeat; pastry | Bake the mince pies for 20 minutes.",
        "Sauce | 2 cloves minced garlic; ground pepper | Fry the garlic until golden.",
        "Pot | 100 g smoked sausage; beans | Fry the sausage and simmer for an hour.",
    ],
    "pork-core": [
        "Stew | 1 kg pork shoulder | Brown. / Cover and simmer for two hours until tender.",
        "Peas | 100 g bacon; peas | Fry the bacon until crisp.",
        "Loin | 1 kg pork loin | Roast until the core is 145 °F, rest 3 minutes.",
    ],
    "rolled-core": [
        "Peppers | 6 peppers; 300 g beef | Stuff the peppers with the beef. / Bake for 40 minutes.",
        "Pastry | flour | Roll out the dough. / Bake.",
    ],
    "stuffing-core": [
        "Bird | 1 chicken; 1 lemon | Stuff the cavity with the lemon and thyme. / Roast to 165°F.",
        "Bird | 1 chicken; bread | Bake the stuffing in a dish of its own. / Roast the chicken to 165°F.",
    ],
    "core-below-advised": [
        "Bird | 1 turkey | Roast to 158 °F internal temperature; it rises to 165 °F as it rests.",
        "Bread | flour | Bake until the internal temperature is 93 °C.",
    ],
    "core-below-choice": [
        "Steak | 4 beef steaks | Fry for 2 minutes on each side for a rare steak.",
        "Rib | 2 kg rib of beef | Roast until the internal temperature is 63 °C.",
        "Custard | 6 egg yolks | Cook the custard until the thermometer reaches 60 °C.",
    ],
    "pink-inside": [
        "Chicken | 4 chicken breasts | Fry until no longer pink.",
        "Steak | 4 beef steaks | Fry until medium rare.",
        "Pork | 4 pork chops; pink peppercorns | Fry the pork and add the pink peppercorns.",
        "Rice | 1 kg chicken; shrimp | Cook the shrimp until they turn pink.",
    ],
    "slow-poultry": [
        "Bird | 1 chicken | Roast the chicken at 180 °C. / Warm the plates at 80 °C.",
        "Meringue chicken pie | 1 chicken | Bake at 200 °C. / Dry the bread at 100 °C in the oven.",
        "Bird | 1 chicken | Boil for 40 minutes. / Put the chicken in the oven at 110 °C.",
    ],
    "slow-mince": ["Loaf | 800 g minced pork | Bake the loaf at 180 °C."],
    "slow-joint": [
        "Beef | 2 kg beef | Brown the beef on every side. / Roast at 110 °C.",
        "Apples | 6 apples | Dry the slices in the oven at 70 °C.",
    ],
    "slow-start": [
        "Beans | 2 tins beans | Warm in the slow cooker.",
        "Pot | 1 kg beef | Bring to the boil, then move it to the slow cooker.",
    ],
    "from-frozen": [
        "Bake | 4 frozen chicken breasts, thawed | Bake for an hour.",
        "Pie | 1 kg chicken; frozen peas; frozen puff pastry | Bake the pie for an hour.",
        "Stir-fry | 500 g beef | Slice the partially frozen beef thinly, then fry.",
    ],
    "kidney-beans": [
        "Chilli | 1 tin kidney beans | Simmer the beans for an hour.",
        "Chilli | 1 (15 oz) can kidney beans, drained | Put the beans in the slow cooker.",
        "Pot | 200 g dried kidney beans | Soak the beans. / Boil the beans hard for 10 minutes, then simmer.",
        "Salad | 300 g green beans | Boil the beans for 4 minutes.",
        "Dal | 200 g dried lentils | Simmer for 30 minutes.",
    ],
    "kept-warm": [
        "Bread | flour; yeast | Keep the dough warm at 30 °C for three hours to rise.",
        "Roast | 1 kg beef | Keep warm, covered, while you make the gravy.",
        "Stew | 1 kg lamb | Simmer. / Keep hot at 70 °C for an hour.",
    ],
    "left-out": [
        "Bread | flour; yeast | Let the dough rise on the counter overnight.",
        "Cake | butter, at room temperature; eggs | Cool the cake and leave it at room temperature overnight.",
        "Beans | 200 g dried lentils | Soak the lentils overnight at room temperature.",
        "Steak | 4 beef steaks | Let the steaks come to room temperature for 30 minutes.",
        "Kraut | cabbage; salt | Leave at room temperature for two weeks to ferment.",
    ],
    "marinate-warm": [
        "Skewers | 500 g lamb | Marinate in the refrigerator for three hours.",
        "Skewers | 500 g lamb | Marinate for 20 minutes at room temperature.",
        "Salad | cucumber | Marinate the cucumber at room temperature for an hour.",
    ],
    "thawed-warm": ["Tart | frozen puff pastry | Thaw the pastry at room temperature."],
    "slow-cooling": [
        "Cake | flour | Cool completely on a rack.",
        "Beef stock | 2 kg beef bones | Cool the stock quickly in a bowl of ice.",
        "Stew | 1 kg beef | Cool slightly and serve the stew.",
    ],
    "rice-left": [
        "Rice | 300 g rice | Soak the rice overnight. / Boil for 12 minutes.",
        "Rice | 300 g rice | Let the rice stand for 10 minutes, covered.",
        "Pudding | 50 g rice flour | Cool the rice flour paste completely.",
    ],
    "reheat": [
        "Stew | 1 kg beef | Next day reheat the stew until it boils.",
        "Fritters | flour; oil | Reheat the oil between batches.",
        "Rolls | flour; yeast | Reheat the bread in the oven.",
    ],
    "marinade-reused": [
        "Chicken | 1 kg chicken | Pour the marinade over the chicken and refrigerate.",
        "Chicken | 1 kg chicken | Boil the remaining marinade for a minute and serve as a sauce.",
        "Chicken | 1 kg chicken | Set aside a third of the marinade. / Baste with the reserved marinade.",
    ],
    "washed-poultry": [
        "Soup | 1 tin chickpeas; 1 chicken | Rinse the chickpeas. / Roast the chicken to 165°F.",
        "Bird | 1 chicken | Wash your hands after touching the chicken.",
    ],
    "dried-meat": [
        "Steak | 4 beef steaks | Pat the beef dry and fry it.",
        "Beef jerky | 1 kg beef | Heat until the internal temperature is 160°F. / Dehydrate the strips.",
        "Apples | apples | Dehydrate the apples at 60 °C.",
    ],
    "raw-egg": [
        "Mayonnaise | 2 pasteurised egg yolks; oil | Whisk the yolks with the oil.",
        "Egg salad | 6 eggs; 100 g mayonnaise | Hard-boil the eggs. / Stir in the mayonnaise.",
        "Rolls | flour; 1 egg | Brush with beaten egg and bake.",
        "Chocolate mousse cake | 4 eggs | Fold in the eggs. / Bake the mixture for 30 minutes.",
    ],
    "raw-dough": [
        "Cookies | flour; butter | Chill the cookie dough. / Bake.",
        "Bread | flour | Add salt to taste, then knead the dough. / Bake.",
    ],
    "deep-fat": [
        "Eggs | eggs; oil | Heat the oil in a deep frying pan and fry the eggs.",
        "Wings | chicken wings | Cook in an air fryer at 200 °C to a core of 165°F.",
        "Onions | onions; 2 tbsp oil | Fry the onions in the oil.",
        "Dish | apples | Bake in a deep dish.",
    ],
    "oil-alone": [
        "Stew | onion; oil | Heat the oil in a pan. Add the onion and fry.",
        "Stew | onion; oil | Heat the oil, but do not let it smoke.",
    ],
    "water-on-fat": ["Soup | oil; water | Fry the onion in the oil. / Add the water and simmer."],
    "sugar-burn": [
        "Onions | onions; sugar | Fry until the onions are caramelised and the sugar has melted.",
        "Cake | butter; sugar | Cream the butter and sugar.",
        "Lemonade | sugar | Simmer the sugar and water for syrup.",
    ],
    "jam-boil-over": ["Tart | jam; pastry | Boil the kettle. / Spread with jam and bake."],
    "flambe": ["Grill | 4 steaks | Light the grill and wait until the flames die down."],
    "charcoal-indoors": ["Grill | 4 steaks | Grill over hot coals outside, basting with oil."],
    "plastic-heated": [
        "Dough | flour | Cover with plastic wrap and refrigerate.",
        "Dough | flour | Remove the plastic wrap and bake.",
    ],
    "closed-tin": ["Soup | 1 tin tomatoes | Pour the tin of tomatoes into the pan and simmer."],
    "home-canning": [
        "Custard | eggs; milk | Bake in a water bath.",
        "Strawberry jam | berries; sugar | Process the jars in a boiling water bath for 10 minutes.",
        "Soup | carrots | Sterilise the jars in the oven.",
    ],
    "garlic-oil": ["Garlic oil | garlic; oil | Put the garlic in the oil and keep it in the refrigerator for a week."],
    "cooling-oven": [
        "Meringues | egg whites; sugar | Turn off the oven and leave the meringues inside.",
        "Roast | 1 kg beef | Roast to 63 °C. / Turn off the oven and carve the meat.",
    ],
    "overnight-oven": ["Meringues | egg whites; sugar | Leave the meringues in the oven overnight."],
    "door-ajar": ["Cake | flour | Open the oven door and take the cake out."],
}

SILENT: list[str] = [
    "Beans on toast | 1 tin haricot beans; bread | Warm the beans for 5 minutes. / Toast the bread.",
    "Rare steak | 2 sirloin steaks; salt | Sear for 2 minutes on each side for a rare steak, then rest.",
    "Dried apple | 6 apples | Slice the apples and dry them at 70 °C for six hours.",
    "Beef stew | 1 kg stewing beef; carrots | Brown the beef. / Simmer, covered, for two hours until tender.",
    "Cookies | butter; flour; 1 egg; sugar | Cream butter and sugar. / Bake at 180 °C for 12 minutes. / "
    "Cool on a rack.",
    "Roast chicken | 1 chicken | Roast at 200 °C until the thigh reaches an internal temperature of 165°F.",
    "Leek soup | 2 chicken stock cubes; leeks | Fry the leeks in butter. / Add the stock and simmer for 20 minutes.",
    "Plaited loaf | flour; yeast; 1 egg | Brush with egg wash. / Bake at 220 °C for 30 minutes.",
    "Egg sandwiches | 4 eggs, hard-boiled; bread | Mash the eggs with a fork.",
    "Pasta | 400 g spaghetti; salt | Boil the pasta in salted water for 10 minutes. / Drain.",
    "Baked salmon | 4 salmon fillets | Bake at 200 °C for 15 minutes until it flakes.",
    "Sponge | 4 eggs; flour; sugar | Beat until light. / Bake at 180 °C for 25 minutes. / Cool completely.",
    "Rice | 200 g rice | Rinse the rice. / Boil, cover and simmer for 12 minutes. / Leave for 5 minutes off the heat.",
    "Granola | oats; honey; oil | Stir in the oil. / Bake at 150 °C for 30 minutes.",
    "Lentil soup | 200 g lentils; 1 onion; oil | Heat the oil, add the onion and fry. / Add the lentils; "
    "simmer for 30 minutes.",
]
