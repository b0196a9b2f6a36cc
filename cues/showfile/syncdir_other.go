//go:build !unix

package showfile

// syncDir does nothing where folders cannot be opened for syncing.
func syncDir(string) error { return nil }
