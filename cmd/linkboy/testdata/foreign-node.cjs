// A foreign Art-Net receiver for the tests: node foreign-node.cjs PORT NET:SUB:UNIVERSE...
// Prints one JSON line when it listens and one for each frame it takes.
const { dmxnet } = require('dmxnet');

const [port, ...addresses] = process.argv.slice(2);
const node = new dmxnet({ hosts: ['127.0.0.1'], listen: Number(port), log: { level: 'error' }, sName: 'foreign' });
const say = (o) => console.log(JSON.stringify(o));
for (const address of addresses) {
  const [net, subnet, universe] = address.split(':').map(Number);
  node
    .newReceiver({ net, subnet, universe })
    .on('data', (slots) => say({ port: address, slots: Buffer.from(slots).toString('hex') }));
}
node.listener4.once('listening', () => say({ ready: 'yes' }));
process.stdout.on('error', () => process.exit(0));
