// Drawing when there is something new, and in the size that there is room for.

/**
 * Shows each frame of a feed, at most one a picture of the screen.
 *
 * @param {HTMLElement} box what the picture fills
 * @param {{subscribe: (reader: () => void) => () => void}} feed
 * @param {{size: (width: number, height: number) => void, show: () => void}} drawer size in css px, before the first show
 * @returns {() => void} ends it
 */
export function keepDrawn(box, feed, { size, show }) {
  let asked = 0;

  function ask() {
    if (asked) return;
    asked = requestAnimationFrame(() => {
      asked = 0;
      show();
    });
  }

  const sizes = new ResizeObserver(([entry]) => {
    const { width, height } = entry.contentRect;
    if (width < 8 || height < 8) return;
    size(width, height);
    ask();
  });
  sizes.observe(box);
  const unsubscribe = feed.subscribe(ask);

  return () => {
    sizes.disconnect();
    unsubscribe();
    cancelAnimationFrame(asked);
  };
}
