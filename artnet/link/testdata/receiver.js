// A foreign Art-Net node on port-address 99:9:9, loopback only, that listens on
// the UDP port in the environment variable PORT. It prints a line of JSON when
// it listens and for every ArtDmx it is given.
const { dmxnet } = require('dmxnet');

const d = new dmxnet({ hosts: ['127.0.0.1'], listen: Number(process.env.PORT), log: { level: 'error' }, sName: 'foreign node' });
const receiver = d.newReceiver({ net: 99, subnet: 9, universe: 9 });
receiver.on('data', (slots) => console.log(JSON.stringify({ slots, controllers: d.controllers.map((c) => c.ip) })));
d.listener4.on('listening', () => console.log(JSON.stringify({ listening: true })));
process.stdin.on('end', () => process.exit(0)).resume(); // end with the test that started it
