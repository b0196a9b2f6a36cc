import assert from 'node:assert/strict';
import test from 'node:test';
import { en } from '../en.js';
import { lostNodes, nodeTurned, portNews } from '../network.js';
import { whatToSay } from '../say.js';

const node = (name, lost = false, more = {}) => ({ name, ip: `10.0.0.${name.length}`, ports: [], last_seen_ms: 1, lost, ...more });
const live = (...nodes) => ({ look: 'warden', nodes });

test('the status line names the one node that is lost, and counts several', () => {
  const names = (...nodes) => en.status.nodesLost(lostNodes(live(...nodes)).map((n) => n.name), nodes.length);
  assert.equal(names(node('wall', true), node('hut')), '1 node lost: wall');
  assert.equal(names(node('wall', true), node('hut', true), node('tower')), '2 of 3 nodes lost');
  assert.deepEqual(lostNodes(null), []);
  assert.deepEqual(lostNodes({ nodes: null }), []);
});

test('losing a node and getting it back is said, a new one is not', () => {
  assert.equal(whatToSay(live(node('wall')), live(node('wall', true))), 'node wall is lost');
  assert.equal(whatToSay(live(node('wall', true)), live(node('wall'))), 'node wall is back');
  assert.equal(whatToSay(live(), live(node('wall', true))), null);
  assert.equal(whatToSay(live(node('wall')), live()), null);
  assert.equal(nodeTurned({ nodes: null }, { nodes: null }), null);
});

test('ports that say the usual are passed over', () => {
  const line = (address, ...status) => ({ address, direction: 'out', protocol: 'DMX512', page: 1, status });
  assert.deepEqual(portNews(node('wall')), []);
  assert.deepEqual(portNews(node('wall', false, { lines: [line('0:0:1', 'putting out data', 'RDM off'), { address: '0:0:2' }] })), []);
  assert.deepEqual(
    portNews(node('wall', false, { lines: [line('0:0:1', 'no data', 'merging'), line('0:0:2', 'merging', 'short')] })),
    ['0:0:1, 0:0:2 merging', '0:0:2 short'],
  );
});

test('what a node tells of itself is one line', () => {
  assert.equal(en.details.about(node('wall')), '');
  assert.equal(
    en.details.about(node('wall', false, { firmware: '2.3', mac: '02:00:00:00:5e:09', indicators: 'locate', status: ['RDM'] })),
    'firmware 2.3, MAC 02:00:00:00:5e:09, indicators locate, RDM',
  );
  assert.equal(en.details.about(node('wall', false, { indicators: 'normal' })), '');
});
