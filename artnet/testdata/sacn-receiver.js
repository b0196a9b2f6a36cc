// A foreign E1.31 receiver on loopback, on the UDP port in the environment
// variable PORT, for the universes in UNIVERSES. It prints a line of JSON when
// it listens, for every data packet and for everything else that it is sent.
const { Receiver } = require('sacn');

const say = (what) => console.log(JSON.stringify(what));
const universes = process.env.UNIVERSES.split(',').map(Number);
const receiver = new Receiver({ universes, port: Number(process.env.PORT), iface: '127.0.0.1', reuseAddr: true });
receiver.on('packet', (p) => say({
  universe: p.universe, sequence: p.sequence, priority: p.priority, name: p.sourceName, sync: p.syncUniverse, options: p.options,
  cid: p.cid.toString('hex'), properties: p.propertyValueCount, slots: p.payloadAsBuffer.toString('hex'),
}));
receiver.on('PacketCorruption', () => say({ corrupt: true }));
receiver.on('PacketOutOfOrder', (err) => say({ disorder: err.message }));
receiver.on('error', (err) => say({ error: err.message }));
receiver.socket.on('listening', () => say({ listening: true }));
process.stdin.on('end', () => process.exit(0)).resume(); // end with the test that started it
