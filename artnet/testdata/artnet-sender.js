// A foreign Art-Net sender to the UDP port in the environment variable PORT of
// 127.0.0.1.
const artnet = require('artnet')({ host: '127.0.0.1', port: Number(process.env.PORT), refresh: 60000 });

artnet.set(1, 1, [255, 128, 64], () => {
  artnet.set(291, 5, 77, () => {
    artnet.trigger(0xffff, 5, 1, () => artnet.close());
  });
});
