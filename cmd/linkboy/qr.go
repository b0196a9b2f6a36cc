package main

import (
	"fmt"
	"io"
	"strings"

	goqr "github.com/piglig/go-qr"
)

// quietZone is the width in modules of the border that a QR code needs (ISO/IEC 18004).
const quietZone = 4

// printQR draws text as a QR code in half blocks, two modules a character,
// light on dark so that it reads in a dark terminal. A text that is too long
// for a code is left out: its words stand above.
func printQR(w io.Writer, text string) {
	code, err := goqr.EncodeText(text, goqr.Low)
	if err != nil {
		return
	}
	light := func(x, y int) bool { return !code.Module(x, y) }
	blocks := map[[2]bool]string{{true, true}: "█", {true, false}: "▀", {false, true}: "▄", {false, false}: " "}
	size := code.Size()
	for y := -quietZone; y < size+quietZone; y += 2 {
		var line strings.Builder
		for x := -quietZone; x < size+quietZone; x++ {
			line.WriteString(blocks[[2]bool{light(x, y), light(x, y+1)}])
		}
		fmt.Fprintln(w, line.String())
	}
}
