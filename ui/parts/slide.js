// A field that a finger slides over and arrow keys step through.
// Use: `<canvas ...${slide((across, down) => {})} onKeyDown=${(e) => step(e, (right, up) => {})}>`.

/**
 * Handlers for the finger.
 *
 * @param {(across: number, down: number) => void} choose takes where the finger is as shares of
 *   the field, from its left and its top; outside 0..1 when the finger has slid off
 */
export function slide(choose) {
  /** @param {PointerEvent} e */
  const at = (e) => {
    const r = field(e).getBoundingClientRect();
    choose((e.clientX - r.x) / r.width, (e.clientY - r.y) / r.height);
  };
  return {
    /** @param {PointerEvent} e */
    onPointerDown(e) {
      if (e.button !== 0 || !e.isPrimary) return;
      field(e).setPointerCapture(e.pointerId);
      at(e);
    },
    /** @param {PointerEvent} e */
    onPointerMove(e) {
      if (field(e).hasPointerCapture(e.pointerId)) at(e);
    },
  };
}

/** @param {PointerEvent} e */
const field = (e) => /** @type {HTMLElement} */ (e.currentTarget);

/**
 * Takes an arrow key, so that nothing else does.
 *
 * @param {KeyboardEvent} e
 * @param {(right: number, up: number) => void} go takes steps of -1, 0 or 1
 */
export function step(e, go) {
  const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
  if (!by) return;
  e.preventDefault();
  e.stopPropagation();
  go(by[0], by[1]);
}
