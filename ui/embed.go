// Package ui holds the page that the daemon serves: plain ES modules, no build
// step. Files are served as they lie here, under the root of the site.
package ui

import (
	"embed"
	"io/fs"
)

// What a browser loads, and the licences of what is vendored. Types, tests and
// checksums stay behind.
//
//go:embed index.html manifest.webmanifest icon.svg icons/*.png *.js *.css
//go:embed camera/*.js light/*.js parts status picture strip pad side foot details rehearse script meter places paint rig teach hot
//go:embed takes/*.js takes/*.css
//go:embed vendor/htm-preact.js vendor/LICENSE-htm.txt vendor/LICENSE-preact.txt
var files embed.FS

// Files returns the page: index.html at the root, everything else by the path
// that the page asks for it. It is safe for concurrent use.
func Files() fs.FS { return files }
