package sacn

import "time"

// Times of ANSI E1.31, Appendix A and section 6.6, for those who
// send and receive.
const (
	// DataLossTimeout: a source that sent nothing on a universe for so long is
	// lost there (E131_NETWORK_DATA_LOSS_TIMEOUT); so is synchronization.
	DataLossTimeout = 2500 * time.Millisecond
	// DiscoveryInterval is between two lists of universes
	// (E131_UNIVERSE_DISCOVERY_INTERVAL).
	DiscoveryInterval = 10 * time.Second
	// KeepAliveLeast and KeepAliveMost are between two packets of unchanged
	// levels.
	KeepAliveLeast = 800 * time.Millisecond
	KeepAliveMost  = 1000 * time.Millisecond
	// Repeats is how many packets of the same levels go out before keep-alive
	// begins, and how many with Terminated when a source leaves.
	Repeats = 3
)
