// Package outlet sends each frame the ways that a location asks for: some
// universes over Art-Net, some over sACN, by one network interface or several.
//
// A way out is a link or a source with an interface of its own. Outputs that
// say the same but for their universes share one, so that there is one Art-Net
// controller an interface, and never two sources with one CID.
//
// Ways out open in the background. One whose interface is missing is tried again
// until it is there, is named by Faults, and fails the frames that it should have
// carried; the others never notice.
//
// Use changes to the outputs of another location. What both have stays open and
// goes on. What only the old one had carries on until the engine has darkened
// what is left behind, and is then closed, which ends its sACN streams. A universe
// that both locations have goes out the new way from the first frame on; lamps
// that were on it and are only reached the old way keep what they last got.
package outlet
