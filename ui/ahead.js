// Asks for what the page waits for before the rest of it is there: for the daemon's
// word, and for the words of a language. Of the page in few files this is a script that
// runs while the index is still read.

import { caller, socketOf } from './first.js';
import { askedLanguage, WORDS } from './language.js';

globalThis.linkboyCaller = caller; // where this is a script of its own, first.js is there twice
caller.call(socketOf(location));
void WORDS[askedLanguage()]();
