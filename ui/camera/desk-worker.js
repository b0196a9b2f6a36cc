// The desk in a worker: the page stays free for fingers while it draws.

import { createDesk } from './desk.js';

const desk = createDesk();
onmessage = ({ data }) => {
  const answer = desk(data);
  postMessage(answer, answer.image ? { transfer: [answer.image.data.buffer] } : {});
};
