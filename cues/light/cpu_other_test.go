//go:build !unix

package light_test

import "time"

// processorTime is not told here.
func processorTime() time.Duration { return 0 }
