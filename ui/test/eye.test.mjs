import assert from 'node:assert/strict';
import test from 'node:test';
import { createEye } from '../camera/eye.js';

const SCENE = { surfaces: [], lamps: [], setups: [] };

/** An eye on a device whose WebGL takes so long for a small picture, or is missing. */
function device({ glMs = 1, gl = true } = {}) {
  const t = { now: 0, lost: 0, canvases: [], ended: 0 };
  const camera = (kind, canvas) => ({
    kind, canvas, loaded: 0, synchronous: kind === 'gl',
    load() { this.loaded++; },
    resize() {},
    draw() { t.now += glMs; },
    image() {},
    end() { t.ended++; },
  });
  t.eye = createEye({
    canvas: () => {
      const canvas = new EventTarget();
      t.canvases.push(canvas);
      return canvas;
    },
    now: () => t.now,
    lost: () => t.lost++,
    gl: (canvas) => {
      if (!gl) throw new Error('no WebGL 2');
      return camera('gl', canvas);
    },
    hand: (canvas) => camera('hand', canvas),
  });
  return t;
}

test('WebGL draws where it is quick', async () => {
  const t = device();
  assert.equal(t.eye.camera, null);
  await t.eye.load(SCENE, {});
  assert.equal(t.eye.camera.kind, 'gl');
  await t.eye.load(SCENE, {});
  assert.equal(t.eye.camera.loaded, 2, 'the same camera takes the next place');
});

test('the processor draws where there is no WebGL, or it is slow', async () => {
  for (const how of [{ gl: false }, { glMs: 100 }]) {
    const t = device(how);
    await t.eye.load(SCENE, {});
    assert.equal(t.eye.camera.kind, 'hand');
    assert.equal(t.eye.camera.loaded, 1);
    assert.equal(t.ended, how.glMs ? 1 : 0, 'the slow one gives its memory back');
  }
});

test('a lost context is opened anew, and lost again it is given up', async () => {
  const t = device();
  for (const [n, kind] of [[1, 'gl'], [2, 'hand']]) {
    await t.eye.load(SCENE, {});
    t.eye.camera.canvas.dispatchEvent(new Event('webglcontextlost', { cancelable: true }));
    assert.equal(t.lost, n, 'the place is to be loaded again');
    assert.equal(t.eye.camera, null);
    await t.eye.load(SCENE, {});
    assert.equal(t.eye.camera.kind, kind);
  }
});

test('the end of a camera that was given up is no loss', async () => {
  const t = device({ glMs: 100 });
  await t.eye.load(SCENE, {});
  t.canvases[0].dispatchEvent(new Event('webglcontextlost', { cancelable: true }));
  assert.equal(t.lost, 0);
  assert.equal(t.eye.camera.kind, 'hand');
});
