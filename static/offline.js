// Registers the service worker of a release build and tells the program when another build is ready. The program shows a
// line; only a tap on it lets the new build take over, and then the page is loaded again.

const { offline } = document.querySelector('meta[name="app"]').dataset;
const workers = navigator.serviceWorker;

/** Leaves the news where the program finds it, early or late. */
function tell(news) {
  document.body.dataset.update = news;
  dispatchEvent(new Event('loomwright-update'));
}

async function start() {
  let taken = false;
  const controlled = workers.controller !== null;
  const registration = await workers.register(new URL(offline, document.baseURI));
  const look = () => {
    if (registration.waiting && registration.active) tell('ready');
  };
  const watch = () => registration.installing?.addEventListener('statechange', look);
  registration.addEventListener('updatefound', watch);
  watch();
  look();
  addEventListener('loomwright-take', () => {
    taken = true;
    registration.waiting?.postMessage('take over');
  });
  workers.addEventListener('controllerchange', () => {
    if (taken) location.reload();
    else if (controlled) tell('elsewhere');
  });
}

if (offline && workers) {
  // After the page and its program have loaded, so that this does not share a slow line with them.
  const go = () => start().catch((error) => console.info(`Not kept for offline use: ${error.message}`));
  if (document.body.dataset.loaded) go();
  else addEventListener('loomwright-loaded', go, { once: true });
}
