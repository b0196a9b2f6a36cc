// A clock that only moves when told to.

export class FakeClock {
  time = 0;
  #timers = new Map();
  #last = 0;

  now = () => this.time;
  setTimer = (run, ms) => {
    this.#timers.set(++this.#last, { at: this.time + ms, run });
    return this.#last;
  };
  clearTimer = (id) => {
    this.#timers.delete(id);
  };

  /** Timers that wait. */
  get waiting() {
    return this.#timers.size;
  }

  /** Stands still like a busy page: time goes on, then what is due by now runs once, late. */
  async stall(ms) {
    this.time += ms;
    const due = [...this.#timers].filter(([, t]) => t.at <= this.time).sort((a, b) => a[1].at - b[1].at);
    for (const [id, t] of due) {
      this.#timers.delete(id);
      t.run();
      await turn();
    }
  }

  /** Moves on, running what falls due in order, with a turn for promises after each. */
  async pass(ms) {
    const end = this.time + ms;
    for (;;) {
      const due = [...this.#timers].filter(([, t]) => t.at <= end).sort((a, b) => a[1].at - b[1].at)[0];
      if (!due) break;
      this.#timers.delete(due[0]);
      this.time = due[1].at;
      due[1].run();
      await turn();
    }
    this.time = end;
    await turn();
  }
}

/** Lets promises that are settled run their course. */
export async function turn() {
  for (let i = 0; i < 8; i++) await Promise.resolve();
}
