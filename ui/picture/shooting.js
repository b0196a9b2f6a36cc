// Where the picture is from another camera than the one that is shot: says so,
// and lets the set be set up for it. Looking through a camera changes nothing on
// the set; setting up does.
// Use: `<${Shooting} plan=${plan} live=${live} view="reverse" choose=${fn} />`.

/** @import {Live, Plan} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { tap } from '../parts/tap.js';
import { changes } from '../meter/words.js';

/** @param {{plan: Plan, live: Live | null, view: string, choose: ((setup: string) => void) | null}} props choose is null for who sets nothing up */
export function Shooting({ plan, live, view, choose }) {
  const setup = plan.setups?.find((s) => s.name === view);
  if (!setup || !live?.setup || live.setup === view) return null;
  const s = texts.setup;
  return html`
    <div class="shooting" data-test="shooting">
      <p>${s.viewOnly(view, live.setup)}</p>
      ${choose && html`
        <button class="shooting-choose" data-test="set-up" ...${tap(() => choose(view))}>
          ${s.setUp(view)}<small>${changes(setup, plan.groups?.length ?? 0) || s.asWritten}</small>
        </button>
      `}
    </div>
  `;
}
