// Package osc reads and writes packets of Open Sound Control 1.0, as its
// specification of 26 March 2002 lays them out: messages and bundles, with the type tags
// i f s b, and of those that it calls less standard h t d S c r m T F N I. Lists
// ([ and ]) are not read. It knows no sockets and what no address means.
package osc
