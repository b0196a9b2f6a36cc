// The text of a field that somebody types in while the daemon tells what it is.
// Use: `const [text, write, leave] = useText(value);`

import { useLayoutEffect, useRef, useState } from '../vendor/htm-preact.js';

/**
 * What comes from elsewhere is shown as long as nobody writes.
 *
 * @param {string} value what the daemon has
 * @returns {[string, (text: string) => void, () => void]} what to show, takes what is typed, and
 *   is told that the text is done with, so that the answer takes its place
 */
export function useText(value) {
  const [text, setText] = useState(value);
  const untouched = useRef(value);
  // Before anything is drawn: what is typed between drawing and an effect would be lost.
  useLayoutEffect(() => {
    if (text === untouched.current) setText(value);
    untouched.current = value;
  }, [value]);
  return [text, setText, () => { untouched.current = text; }];
}
