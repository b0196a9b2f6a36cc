// A tap that counts even right after a slide: a browser takes a quick touch
// after a quick slide for the end of a scroll and keeps the click to itself,
// and work light cannot wait for that.
// Use: `<button ...${tap(act)}>`. Acts when the finger lifts over the button;
// clicks without a pointer (keyboard, assistive technology) count as well.

/** Where each pointer went down. @type {Map<number, EventTarget | null>} */
const downOn = new Map();

/**
 * Handlers for a button. They keep nothing of their own, so they may be made
 * anew with every drawing of the page.
 *
 * @param {() => unknown} act
 */
export function tap(act) {
  return {
    onPointerDown(/** @type {PointerEvent} */ e) {
      if (e.button === 0) downOn.set(e.pointerId, e.currentTarget);
    },
    onPointerUp(/** @type {PointerEvent} */ e) {
      const began = downOn.get(e.pointerId) === e.currentTarget;
      downOn.delete(e.pointerId);
      if (began && over(e)) act();
    },
    onPointerCancel(/** @type {PointerEvent} */ e) {
      downOn.delete(e.pointerId);
    },
    onClick(/** @type {MouseEvent} */ e) {
      if (e.detail === 0) act();
    },
  };
}

/** A finger keeps speaking to the button it went down on, wherever it lifts. @param {PointerEvent} e */
function over(e) {
  const r = /** @type {HTMLElement} */ (e.currentTarget).getBoundingClientRect();
  return e.clientX >= r.left && e.clientX <= r.right && e.clientY >= r.top && e.clientY <= r.bottom;
}
