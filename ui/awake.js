// Keeps the screen from sleeping while the page is in front, where the browser
// allows it (it asks for a secure context).

/** @param {Document} doc */
export function keepAwake(doc) {
  const ask = () => {
    if (doc.visibilityState !== 'visible') return;
    navigator.wakeLock?.request('screen').catch(() => {}); // refused on low battery; the page works without
  };
  doc.addEventListener('visibilitychange', ask);
  ask();
}
