// Package safety holds the limits for people who stand in the light or move
// without it, as numbers with their conditions: flashing, light to walk by, and
// blue light to look into.
//
// None of it is legal or medical advice. Local codes and the people who answer
// for safety on the day come first, whatever a function here says. The flashing
// rules are for screens; people who stand in the light see more of it than a
// screen fills, so take them as the loosest limit: warn cast and crew first, and
// give everyone a way to stop it. The limits of light to walk by are for
// buildings, not for a set at night. Keep one work light on a battery and a
// switch of its own.
//
// From what a set does to an answer:
//
//	Sequence   states of light over time; Sequence.Worst counts the flashes
//	           of its worst second
//	WayLimit   a limit of light to walk by; WayLimit.Check holds readings
//	           along a way against it
//	BlueLight  what the eye takes in of blue, and RiskGroup
//
// Light that is compared with a screen's is linear, CIE 1931 XYZ, with Y = 1 at
// the brightest white; other units are lx, cd/m2 and W/(m2 sr). Functions are
// pure. Everything may be used from any goroutine.
//
// References, cited by key in the code:
//
//	WCAG       W3C Web Content Accessibility Guidelines 2.2: 2.3.1 three flashes
//	           or below threshold, with its terms; the older test for red is
//	           that of 2.0 and 2.1
//	BT.1702    ITU-R BT.1702 (2005), Guidance for the reduction of
//	           photosensitive epileptic seizures caused by television
//	BT.709     ITU-R BT.709-6 (2015): the primaries that red is told by
//	EN 1838    EN 1838, Lighting applications: emergency lighting
//	NFPA 101   NFPA 101, Life safety code, 7.8 and 7.9
//	IEC 62471  IEC 62471:2006, Photobiological safety of lamps; B(λ) is from
//	           memory
package safety
