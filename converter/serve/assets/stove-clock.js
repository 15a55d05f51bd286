// Ticks from a worker: the clock of a page that is not in front may be held to one tick a minute.
setInterval(() => postMessage(0), 1000);
