// Foreign senders to 127.0.0.1, until the test that started this ends: Art-Net
// by two packages, E1.31 by a third, by unicast and by multicast.
const { dmxnet } = require('dmxnet');
const { Sender } = require('sacn');

const artNet = Number(process.env.ARTNET_PORT);
// The sender of multicast takes its port on this machine, and with it what is
// sent there by unicast.
const unicastPort = Number(process.env.UNICAST_PORT);
const multicastPort = Number(process.env.MULTICAST_PORT);

const d = new dmxnet({ hosts: ['127.0.0.1'], listen: Number(process.env.OTHER_PORT), log: { level: 'error' } });
const first = d.newSender({ ip: '127.0.0.1', port: artNet, net: 1, subnet: 2, universe: 3, base_refresh_interval: 200 });
const second = require('artnet')({ host: '127.0.0.1', port: artNet, refresh: 200 });
const options = (name, cid) => ({ useRawDmxValues: true, priority: 120, sourceName: name, cid: Buffer.from(cid, 'hex') });
const unicast = new Sender({ universe: 7, port: unicastPort, useUnicastDestination: '127.0.0.1', defaultPacketOptions: options('by unicast', '0f1e2d3c4b5a4978a6b5c4d3e2f10203') });
const multicast = new Sender({ universe: 9, port: multicastPort, iface: '127.0.0.1', reuseAddr: true, defaultPacketOptions: options('by multicast', '1f1e2d3c4b5a4978a6b5c4d3e2f10204') });

let n = 0;
setInterval(() => {
  n = (n + 1) % 200;
  first.prepChannel(511, 77);
  first.setChannel(0, n);
  second.set(4, 1, [n, 128, 64]);
  unicast.send({ payload: { 1: n, 512: 3 } });
  multicast.send({ payload: { 2: n } }).catch(() => {});
}, 50);
process.stdin.on('end', () => process.exit(0)).resume();
