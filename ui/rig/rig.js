// The rig: which lamp stands where, what reaches it, and the way to the one that is
// dark. The plan from above, and under it one of: a lamp, the plan against what was
// found, addresses, circuits, groups; or the walk.
// Use: `<${Rig} state=${state} feed=${feed} verbs=${verbs} update=${fn} />`.

/** @import {Device, Edit, Node, PageState, Plan, PlanLamp, Refusal, RigCheck, RigRow} from '../types' */
/** @import {Shown} from '../light/feed.js' */
/** @import {Verbs} from '../verbs.js' */
/** @import {Walk} from './walk.js' */

import { html, useEffect, useMemo, useState } from '../vendor/htm-preact.js';
import { getJSON, postJSON } from '../ask.js';
import { Refused } from '../parts/said.js';
import { texts } from '../texts.js';
import { clashes, parseAddress, portText } from './address.js';
import { createEditor } from './editor.js';
import { Found } from './found.js';
import { Lamp, Lamps } from './lamp.js';
import { Addresses, Circuits, Groups } from './lists.js';
import { RigPlan } from './plan.js';
import { createPointer } from './pointer.js';
import { lampEdit, pointText, turnFields } from './stand.js';
import { answering, beginWalk, keptWalk, servedBy } from './walk.js';
import { Walking } from './walking.js';

const TABS = /** @type {const} */ (['lamp', 'found', 'numbers', 'power', 'groups']);
/** Where a walk is kept on this device. */
const KEPT = 'linkboy-walk';

/**
 * What the parts of the rig are given.
 *
 * @typedef {object} RigView
 * @property {Plan} plan
 * @property {Node[]} nodes
 * @property {string} chosen
 * @property {(id: string) => void} choose
 * @property {Map<string, string[]>} clash
 * @property {(lamp: PlanLamp) => string[]} clashAt whom a lamp would clash with
 * @property {boolean} hot
 * @property {boolean} locked nothing can be changed now
 * @property {(id: string, fields: (lamp: PlanLamp) => Record<string, string>) => Promise<boolean>} change
 * @property {(make: (plan: Plan) => Edit[]) => Promise<boolean>} edit
 * @property {RigCheck | null} check
 * @property {(check: RigCheck) => void} checked
 * @property {() => Promise<void>} reload
 * @property {boolean} asked lamps have been asked by RDM
 * @property {Device[]} devices
 * @property {(id: string) => RigRow | undefined} row
 * @property {(id: string) => Device | undefined} device
 * @property {string[]} unserved port-addresses of lamps that no node puts out
 * @property {(id: string) => string} uid of the device that is a lamp and answers; "" for none
 * @property {(id: string) => string} shownBy uid of the device that shows itself; "" where light shows it
 * @property {string} showing id of the lamp that shows itself
 * @property {(id: string) => void} show
 * @property {() => void} stop
 * @property {(id: string) => string} how it shows itself, in words
 * @property {'' | 'light' | 'rdm'} way how lamps are to show themselves; "" leaves it to what was found
 * @property {(id: string) => void} turnBy the other way, from the one that a lamp shows itself by
 */

/** @param {{state: PageState, feed: Shown, verbs: Verbs, update: (change: Partial<PageState>) => void}} props */
export function Rig({ state, feed, verbs, update }) {
  const { plan, live } = state;
  const [tab, setTab] = useState(/** @type {typeof TABS[number]} */ ('lamp'));
  const [chosen, choose] = useState('');
  const [walk, setWalk] = useState(/** @type {Walk | null} */ (null));
  const [refusal, setRefusal] = useState(/** @type {Refusal | null} */ (null));
  const [check, setCheck] = useState(/** @type {RigCheck | null} */ (null));
  const [devices, setDevices] = useState(/** @type {Device[]} */ ([]));
  const [rdm, setRDM] = useState(''); // lamp that shows itself by RDM
  const [way, setWay] = useState(/** @type {'' | 'light' | 'rdm'} */ ('')); // "" is the gentler one that reaches the lamp
  const pointer = useMemo(() => createPointer({
    act: verbs.act, post: postJSON, now: () => performance.now(), setTimer: (run, ms) => setTimeout(run, ms), tell: setRefusal,
  }), []);
  useEffect(() => () => pointer.stop(), []);
  const now = useMemo(() => ({ state }), []);
  now.state = state;
  const edit = useMemo(() => createEditor({
    post: postJSON, plan: () => now.state.plan, revision: () => now.state.live?.edits?.revision, tell: setRefusal, noEditor: texts.rig.noEditor,
    rest: (ms) => new Promise((done) => setTimeout(done, ms)),
  }), []);

  async function reload() {
    try {
      const [found, differs] = await Promise.all([getJSON('/api/devices'), getJSON('/api/rigcheck')]);
      setDevices(found.devices);
      setCheck(differs);
    } catch {
      // a daemon that asks no lamps: the plan is there all the same
    }
  }
  useEffect(() => void reload(), [plan?.revision]);
  useEffect(() => {
    if (plan && chosen && !plan.lamps?.some((l) => l.id === chosen)) choose('');
  }, [plan]);
  const lamps = plan?.lamps ?? [];
  const clash = useMemo(() => clashes(lamps), [plan]);

  if (!plan) return html`<section class="rig"><p class="rig-empty">${texts.picture.waiting}</p></section>`;
  const here = plan;
  const hot = Boolean(live?.hot);
  const nodes = live?.nodes ?? [];
  const rows = check?.rows ?? [];
  const lamp = lamps.find((l) => l.id === chosen) ?? null;
  const uid = (/** @type {string} */ id) => answering(id, devices.length ? rows : []);

  /** The device that shows itself, "" for light: that flashes nobody and shows which end is which, but reaches only a lamp that is as planned. @param {string} id */
  function shownBy(id) {
    if (way === 'light' || (way === '' && rows.find((r) => r.place === id)?.right)) return '';
    return uid(id);
  }

  /** @type {RigView} */
  const rig = {
    plan, nodes, chosen, clash, hot, locked: hot, check, devices, edit, reload, way,
    choose(id) {
      choose(id);
      if (id) setTab('lamp');
    },
    clashAt: (there) => clashes(lamps.map((l) => (l.id === there.id ? there : l))).get(there.id) ?? [],
    change: (id, fields) => edit((now) => (now.lamps ?? []).filter((l) => l.id === id).map((l) => lampEdit(now.location, id, fields(l)))),
    checked: setCheck,
    asked: devices.length > 0,
    row: (id) => rows.find((r) => r.place === id),
    device: (id) => devices.find((d) => d.uid === rows.find((r) => r.place === id)?.uid),
    unserved: [...new Set(lamps.filter((l) => l.footprint > 0 && !servedBy(l, nodes)).flatMap((l) => {
      const a = parseAddress(l.address);
      return a ? [portText(a.port)] : [];
    }))],
    uid,
    shownBy,
    showing: rdm || (live?.pointing?.lamp ?? ''),
    show(id) {
      const by = shownBy(id);
      setRDM(by ? id : '');
      pointer.show(id, by);
    },
    stop() {
      setRDM('');
      pointer.stop();
    },
    how: (id) => texts.rig.how({ rdm: rdm === id, light: live?.pointing?.lamp === id, dry: Boolean(live?.dry) }),
    turnBy: (id) => setWay(shownBy(id) ? 'light' : 'rdm'),
  };

  /** @param {Walk | null} next */
  function go(next) {
    setWalk(next);
    choose(next?.at ?? '');
    if (next) localStorage.setItem(KEPT, JSON.stringify(next));
  }
  function endWalk() {
    rig.stop();
    setWalk(null);
    setWay('');
  }
  const kept = () => keptWalk(localStorage.getItem(KEPT), here.location, lamps);
  const stand = (/** @type {PlanLamp} */ to) => {
    const was = lamps.find((l) => l.id === to.id);
    const moved = was && (was.place[0] !== to.place[0] || was.place[1] !== to.place[1]);
    return rig.change(to.id, () => (moved ? { at: pointText(to.place) } : turnFields(to)));
  };
  /** @type {Record<string, string>} */
  const marks = {};
  for (const l of lamps) {
    if (walk?.marks[l.id]) marks[l.id] = texts.rig.sign[walk.marks[l.id]];
    else if (clash.has(l.id)) marks[l.id] = texts.rig.sign.clash;
  }

  return html`
    <section class=${walk ? 'rig rig-walks' : 'rig'} data-test="rig">
      <${RigPlan} plan=${plan} feed=${feed} chosen=${walk ? walk.at : chosen} choose=${(/** @type {string} */ id) => (walk ? id && go({ ...walk, at: id }) : rig.choose(id))}
        stand=${stand} marks=${marks} fixed=${hot || Boolean(walk)} />
      <div class="rig-tools">
        ${hot && html`<p class="rig-wrong" data-test="rig-hot">${texts.places.locked}</p>`}
        ${refusal && html`<p class="rig-wrong" role="alert" data-test="rig-refused"><${Refused} refusal=${refusal} /></p>`}
        ${walk && !hot
          ? html`<${Walking} rig=${rig} walk=${walk} go=${go} end=${endWalk} />`
          : html`
            <div class="tabs" role="tablist">
              ${TABS.map((t) => html`<button class="view" role="tab" data-test=${`rig-tab-${t}`} aria-selected=${String(t === tab)} onClick=${() => setTab(t)}>${texts.rig.tab[t]}</button>`)}
            </div>
            ${tab === 'lamp' && !lamp && lamps.length > 0 && html`
              <div class="rig-row">
                <button class="choice" data-test="walk-begin" aria-disabled=${String(hot)} onClick=${() => !hot && go(kept() ?? beginWalk(plan.location, lamps))}>${texts.rig.walk.offer(kept()?.at)}<small>${texts.rig.walk.beginWhat}</small></button>
              </div>`}
            ${tab === 'lamp' && (lamp ? html`<${Lamp} lamp=${lamp} rig=${rig} />` : html`<${Lamps} rig=${rig} />`)}
            ${tab === 'found' && html`<${Found} rig=${rig} open=${(/** @type {'details' | 'meter'} */ panel) => update({ panel })} />`}
            ${tab === 'numbers' && html`<${Addresses} rig=${rig} />`}
            ${tab === 'power' && html`<${Circuits} rig=${rig} />`}
            ${tab === 'groups' && html`<${Groups} rig=${rig} />`}
          `}
      </div>
    </section>
  `;
}
