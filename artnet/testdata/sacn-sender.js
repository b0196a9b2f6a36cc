// A foreign E1.31 sender to the UDP port in the environment variable PORT of
// 127.0.0.1: three packets on universe 7.
const { Sender } = require('sacn');

const sender = new Sender({
  universe: 7, port: Number(process.env.PORT), useUnicastDestination: '127.0.0.1',
  defaultPacketOptions: { useRawDmxValues: true, priority: 120, sourceName: 'foreign sender', cid: Buffer.from('0f1e2d3c4b5a4978a6b5c4d3e2f10203', 'hex') },
});
(async () => {
  await sender.send({ payload: { 1: 255, 2: 1, 512: 3 } });
  await sender.send({ payload: { 1: 0, 100: 200 } });
  await sender.send({ payload: {}, priority: 200 });
  sender.close();
})();
