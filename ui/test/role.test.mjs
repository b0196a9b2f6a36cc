import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { may, placesOf, runs } from '../role.js';

const ROLES = ['viewer', 'assistant', 'operator', 'owner'];

test('the page offers each role what the daemon lets it do', () => {
  const source = readFileSync(new URL('../../server/role.go', import.meta.url), 'utf8');
  const table = source.slice(source.indexOf('var needs ='), source.indexOf('\n}', source.indexOf('var needs =')));
  const needs = [...table.matchAll(/^\t(?:"([a-z]+)"|watchVerb): +([A-Z][a-z]+),/gm)].map(([, verb, least]) => [verb ?? 'watch', least.toLowerCase()]);
  assert.ok(needs.length > 4);
  const asked = new Set(needs.map(([verb]) => verb));
  for (const role of ROLES) {
    // What is asked by plain requests only is not the verbs' matter.
    for (const [verb, least] of needs.filter(([v]) => !['identify', 'devices', 'rigcheck'].includes(v))) {
      assert.equal(may(role, verb), ROLES.indexOf(role) >= ROLES.indexOf(least), `${role} ${verb}`);
    }
    for (const verb of ['cue', 'kill', 'take', 'undo', 'whatever'].filter((v) => !asked.has(v))) assert.equal(may(role, verb), runs(role), `${role} ${verb}`);
  }
});

test('each role has its places', () => {
  const all = ['set', 'paint', 'rig', 'takes'];
  assert.deepEqual(ROLES.map((role) => placesOf(role, all)), [['set'], ['set', 'rig'], all, all]);
});
