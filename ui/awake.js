// Keeps the screen from sleeping while the page is in front, where the browser
// allows it: it asks for a secure context. Elsewhere the details say what to do.

/** Whether the browser lets a page keep the screen on. */
export function canStayAwake() {
  return typeof navigator !== 'undefined' && 'wakeLock' in navigator;
}

/** @param {Document} doc */
export function keepAwake(doc) {
  if (!canStayAwake()) return;
  let held = false;
  const ask = async () => {
    if (held || doc.visibilityState !== 'visible') return;
    held = true;
    try {
      const lock = await navigator.wakeLock.request('screen');
      lock.addEventListener('release', () => (held = false)); // the browser lets go when the page is hidden
    } catch {
      held = false; // refused on low battery; the page works without
    }
  };
  doc.addEventListener('visibilitychange', ask);
  doc.addEventListener('pointerdown', ask); // what was refused may be given later
  void ask();
}
