// A music file that the phone plays itself; it never leaves the phone. Where its
// cues come is marked by tapping, and remembered here for the same file.

/** Longest that a position is carried on from, ms: some browsers tell a new one seldom. */
const CARRY = 120;

/**
 * @param {File} file
 * @param {string} place show and location, whose cues are marked
 * @param {{now: () => number, ended: () => void, keep: Pick<Storage, 'getItem' | 'setItem'>}} world
 */
export function createMusic(file, place, world) {
  const url = URL.createObjectURL(file);
  const audio = new Audio(url);
  audio.preload = 'auto';
  audio.onended = () => world.ended();
  const key = `marks/${place}/${file.name}/${file.size}`;
  let last = { seconds: -1, at: 0 };

  return {
    name: file.name,

    /** Where it is, ms. */
    position() {
      const now = world.now();
      if (audio.currentTime !== last.seconds) last = { seconds: audio.currentTime, at: now };
      return 1000 * last.seconds + (audio.paused ? 0 : Math.min(CARRY, now - last.at));
    },
    /** Its length, ms; 0 until it is known. */
    length: () => (Number.isFinite(audio.duration) ? 1000 * audio.duration : 0),
    /** @param {number} ms */
    async play(ms) {
      audio.currentTime = Math.max(0, ms / 1000);
      await audio.play();
    },
    stop: () => audio.pause(),
    /** For good. */
    close() {
      audio.pause();
      URL.revokeObjectURL(url);
    },

    /** @returns {Record<number, number>} ms, by cue */
    marks() {
      try {
        return JSON.parse(world.keep.getItem(key) ?? '{}');
      } catch {
        return {}; // storage is off, or somebody else's
      }
    },
    /** @param {Record<number, number>} marks */
    keep(marks) {
      try {
        world.keep.setItem(key, JSON.stringify(marks));
      } catch {
        // they last as long as the page
      }
    },
  };
}

/** @typedef {ReturnType<typeof createMusic>} Music */
