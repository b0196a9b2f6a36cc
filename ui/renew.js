// A daemon that was started anew may have another page: it is taken at once, so that an
// old page never speaks to a new daemon.

/**
 * The page that an address or an index belongs to; '' where the files have no such folder.
 *
 * @param {string} text
 */
export function versionIn(text) {
  return /\bat\/([0-9a-f]{16})\//.exec(text)?.[1] ?? '';
}

/**
 * @param {object} world
 * @param {string} world.own address of this page's scripts
 * @param {(url: string) => Promise<Response>} world.fetch
 * @param {() => void} world.reload
 * @param {Pick<Storage, 'getItem' | 'setItem'>} world.keep for as long as the tab is open
 */
export function createRenewal({ own, fetch, reload, keep }) {
  return {
    /** Asks the daemon for its page; loads it when it is another. */
    async check() {
      let now = '';
      try {
        const answer = await fetch('/');
        now = answer.ok ? versionIn(await answer.text()) : '';
      } catch {
        return; // the link is gone again: asked when it is back
      }
      if (!now || !versionIn(own) || now === versionIn(own)) return;
      if (keep.getItem('page') === now) return; // it was loaded for that already
      keep.setItem('page', now);
      reload();
    },
  };
}
