// How others are let in: for each role a code, as something to scan and to type.
// Use: `<${Invite} role=${role} />`.

/** @import {Invitation, Refusal, Role} from '../types' */

import { html, useEffect, useRef, useState } from '../vendor/htm-preact.js';
import { getJSON } from '../ask.js';
import { texts } from '../texts.js';

/** Modules of white that a QR code needs around it (ISO/IEC 18004). */
const QUIET = 4;

const GUESTS = /** @type {const} */ (['operator', 'assistant', 'viewer']);

/** @param {{role: Role}} props of this device */
export function Invite({ role }) {
  const [open, setOpen] = useState(/** @type {Role | null} */ (null));
  const [all, setAll] = useState(/** @type {Invitation[] | null} */ (null));
  const [refusal, setRefusal] = useState(/** @type {Refusal | null} */ (null));
  const r = texts.role;
  const owner = role === 'owner';
  useEffect(() => {
    if (!open || all) return;
    getJSON('/api/pairing').then((got) => setAll(got.invitations), setRefusal);
  }, [open]);
  const shown = all?.find((i) => i.role === open);
  return html`
    <h3>${r.title}</h3>
    <p data-test="own-role">${r.you[role]}</p>
    ${owner && html`
      ${GUESTS.map((to) => html`
        <button class="choice" data-test=${`invite-${to}`} aria-expanded=${String(open === to)} onClick=${() => setOpen(open === to ? null : to)}>${r.letIn[to]}<small>${r.does[to]}</small></button>
        ${shown?.role === to && shown && html`<${Code} invitation=${shown} />`}
      `)}
      ${refusal && open && html`<p class="invite-refused" data-test="invite-refused">${refusal.code === 'no-pairing' ? r.alone : refusal.message}</p>`}
    `}
  `;
}

/** @param {{invitation: Invitation}} props */
function Code({ invitation: { code, url, qr, role } }) {
  const r = texts.role;
  const figure = useRef(/** @type {HTMLElement | null} */ (null));
  useEffect(() => figure.current?.scrollIntoView({ block: 'nearest' }), []);
  const size = qr.length + 2 * QUIET;
  const dark = qr.flatMap((row, y) => [...row].flatMap((m, x) => (m === '#' ? [`M${x + QUIET} ${y + QUIET}h1v1h-1z`] : []))).join('');
  return html`
    <figure class="invite" ref=${figure} data-test="invite">
      ${qr.length > 0 && html`
        <svg class="invite-qr" viewBox=${`0 0 ${size} ${size}`} role="img" aria-label=${r.scan(r.letIn[/** @type {typeof GUESTS[number]} */ (role)])} shape-rendering="crispEdges">
          <rect width=${size} height=${size} />
          <path d=${dark} />
        </svg>
      `}
      <figcaption>${r.orType} <b data-test="invite-url">${new URL(url).origin}</b> ${r.andType} <b class="invite-code" data-test="invite-code">${code}</b></figcaption>
    </figure>
  `;
}
