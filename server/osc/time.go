package osc

import "time"

// epoch is that of NTP, 1 January 1900 (RFC 5905, 6), as seconds before that of Unix.
const epoch = 2_208_988_800

// TagOf gives the time tag of a time, to a quarter of a nanosecond.
func TagOf(t time.Time) TimeTag {
	return TimeTag(uint64(t.Unix()+epoch)<<32 | uint64(t.Nanosecond())<<32/uint64(time.Second))
}

// Until is how long it is until the time of a tag; Immediately, and what is past, is 0 or
// less.
func (t TimeTag) Until(now time.Time) time.Duration {
	if t == Immediately {
		return 0
	}
	seconds := int64(t>>32) - (now.Unix() + epoch)
	const far = int64(1) << 32
	if seconds > far || seconds < -far {
		return 0
	}
	ns := int64(uint64(t) & 0xffffffff * uint64(time.Second) >> 32)
	return time.Duration(seconds)*time.Second + time.Duration(ns-int64(now.Nanosecond()))
}
