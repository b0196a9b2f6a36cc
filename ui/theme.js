// What the page wears: red-orange on black, or ink on paper for a desk. A hot set is
// always dark, whatever was chosen.

/** @typedef {'night' | 'day'} Theme */

const KEY = 'theme';
const GROUND = { night: '#000000', day: '#f4eee6' };

/**
 * @param {Document} doc
 * @param {Pick<Storage, 'getItem' | 'setItem'>} keep
 */
export function createTheme(doc, keep) {
  /** @type {Theme} */
  let chosen = 'night';
  let hot = false;
  try {
    if (keep.getItem(KEY) === 'day') chosen = 'day';
  } catch {
    // storage is off: the choice lasts as long as the page
  }

  function wear() {
    const theme = hot ? 'night' : chosen;
    doc.documentElement.dataset.theme = theme;
    doc.documentElement.dataset.hot = String(hot);
    doc.querySelector('meta[name="theme-color"]')?.setAttribute('content', GROUND[theme]);
  }
  wear();

  return {
    chosen: () => chosen,
    /** @param {Theme} theme */
    choose(theme) {
      chosen = theme;
      wear();
      try {
        keep.setItem(KEY, theme);
      } catch {
        // as above
      }
    },
    /** @param {boolean} on */
    hot(on) {
      if (on === hot) return;
      hot = on;
      wear();
    },
  };
}

/** @typedef {ReturnType<typeof createTheme>} Wardrobe */
