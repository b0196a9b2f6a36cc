// Package controller manages RDM devices through the gateways of an Art-Net
// network: it collects their tables of devices, asks each device what it is,
// and sets it. ANSI E1.20 sections 6 and 10, Art-Net 4 sections "ArtTodRequest"
// to "ArtRdm".
//
// A line, which is a port-address at a node, carries one request at a time; who
// comes next waits in order, and a device that is slow or dead holds up its own
// line for one time-out at a time and no other line at all. Each try has a
// transaction number of its own, so that answers that come late or twice mean
// nothing. ACK_TIMER is waited for with the line free and asked for with
// QUEUED_MESSAGE; the parts of an ACK_OVERFLOW are joined; a NACK becomes a
// *Refused with its reason in words.
//
// Run takes in what gateways send; it must run while anything is asked. Every
// call ends with its context. Searching a line anew (Flush) interrupts its DMX512
// for as long as the search takes: never do it in a take.
package controller
