// The sound of a count-in: a short tone a beat, a higher one for the last.

const LOW_HZ = 880;
const HIGH_HZ = 1320;
const SECONDS = 0.05;
const LOUD = 0.4;

export function createTicks() {
  /** @type {AudioContext | null} */
  let context = null;
  return {
    /** To be called from a touch, or browsers keep it silent. */
    wake() {
      context ??= new AudioContext();
      if (context.state === 'suspended') void context.resume();
    },
    /** @param {boolean} high */
    tick(high) {
      if (context?.state !== 'running') return;
      const tone = context.createOscillator();
      const gain = context.createGain();
      const now = context.currentTime;
      tone.frequency.value = high ? HIGH_HZ : LOW_HZ;
      gain.gain.setValueAtTime(LOUD, now);
      gain.gain.exponentialRampToValueAtTime(0.001, now + SECONDS); // no click at its end
      tone.connect(gain).connect(context.destination);
      tone.start(now);
      tone.stop(now + SECONDS);
    },
  };
}
