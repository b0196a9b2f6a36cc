// Calls the daemon before the rest of the page is there, so that what is on set has come by
// the time that it can be shown.

/** @import {SocketLike} from './link.js' */

/** Where the daemon's socket is. @param {Location} page */
export const socketOf = (page) => `${page.protocol === 'https:' ? 'wss' : 'ws'}://${page.host}/ws`;

/**
 * @param {(url: string) => SocketLike} open
 */
export function createCaller(open) {
  /** @type {SocketLike | null} */
  let early = null;
  /** @type {['onopen' | 'onmessage', any][]} */
  let heard = [];
  let tell = () => {};
  /** @type {Promise<void>} */
  const spoken = new Promise((done) => { tell = done; });

  return {
    /** Opens a socket ahead of whoever will want it. @param {string} url */
    call(url) {
      early = open(url);
      early.binaryType = 'arraybuffer';
      early.onopen = (e) => heard.push(['onopen', e]);
      early.onmessage = (e) => {
        heard.push(['onmessage', e]);
        if (typeof e.data === 'string' && e.data.includes('"type":"state"')) tell();
      };
      early.onclose = () => {
        early = null;
        tell();
      };
    },
    /** Until the daemon has said what is on, or will not over this socket; at most some ms. @param {number} most */
    async spoken(most) {
      await Promise.race([spoken, new Promise((late) => setTimeout(late, most))]);
    },
    /**
     * The socket that was opened ahead, once; else a new one. What came over it meanwhile
     * is told as soon as whoever takes it listens.
     *
     * @param {string} url
     */
    open(url) {
      const socket = early;
      const told = heard;
      early = null;
      heard = [];
      if (!socket) return open(url);
      queueMicrotask(() => {
        for (const [on, e] of told) socket[on]?.(e);
      });
      return socket;
    },
  };
}

/** @typedef {ReturnType<typeof createCaller>} Caller */

/** That of the page: ahead.js has it call. @type {Caller} */
export const caller = globalThis.linkboyCaller ?? createCaller((url) => new WebSocket(url));
