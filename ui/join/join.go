// Package join makes few files of the page's many, for a phone that waits for each: the
// modules that the page needs before it shows anything become one, what is asked for ahead
// of them and every place of the page one more each, and all styles one. The page runs the
// same either way.
package join

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"

	"github.com/evanw/esbuild/pkg/api"

	"linkboy/ui"
)

const (
	// Folder is how the name of the folder begins where the files lie that Files makes. It
	// ends in the sum of them, so that what lies under a name never changes.
	Folder = "joined-"
	// index is the page itself, which names its scripts and styles.
	index = "index.html"
	// sheet is all styles in one.
	sheet = "page.css"
)

var (
	script     = regexp.MustCompile(`<script type="module" src="([^":]+\.js)"></script>`)
	ahead      = regexp.MustCompile(`<script type="module" async src="([^":]+\.js)"></script>`)
	styles     = regexp.MustCompile(`(?:<link rel="stylesheet" href="[^":]+\.css">\s*)+`)
	stylesheet = regexp.MustCompile(`<link rel="stylesheet" href="([^":]+\.css)">`)
	worker     = regexp.MustCompile(`new Worker\(new URL\('\./([^']+)', import\.meta\.url\)`)
)

// Files gives the files that stand for those of a page, by their names: the index that
// asks for them, and in Folder the scripts and the styles. Scripts keep the names of what
// is in them, so that a trace of a fault can be read.
//
// An error tells what in the page cannot be joined: the page as it lies serves then.
func Files(page fs.FS) (map[string][]byte, error) {
	text, err := fs.ReadFile(page, index)
	if err != nil {
		return nil, fmt.Errorf("join page: %w", err)
	}
	made := map[string][]byte{}
	imports, err := scripts(page, text, made)
	if err != nil {
		return nil, err
	}
	if made[sheet], err = sheets(page, text); err != nil {
		return nil, err
	}
	folder := Folder + ui.Sum(made) + "/"
	out := map[string][]byte{index: pointed(text, folder, imports)}
	for name, data := range made {
		out[folder+name] = data
	}
	return out, nil
}

// sheets joins the styles in the order of the index, which decides where two say
// something of one element.
func sheets(page fs.FS, text []byte) ([]byte, error) {
	var all bytes.Buffer
	for _, m := range stylesheet.FindAllSubmatch(text, -1) {
		data, err := fs.ReadFile(page, string(m[1]))
		if err != nil {
			return nil, fmt.Errorf("join page: %w", err)
		}
		all.Write(data)
	}
	r := api.Transform(all.String(), api.TransformOptions{Loader: api.LoaderCSS, MinifyWhitespace: true, MinifySyntax: true})
	return r.Code, fault(r.Errors)
}

// pointed gives the index that asks for the joined files, with a hint for each that a
// browser else learns of only when the one that imports it has come. What a script asks for
// itself is not hinted: of two languages it asks for one.
func pointed(text []byte, folder string, imports links) []byte {
	text = ahead.ReplaceAllFunc(text, func(tag []byte) []byte {
		return fmt.Appendf(nil, "<script src=%q></script>", folder+path.Base(string(ahead.FindSubmatch(tag)[1])))
	})
	text = styles.ReplaceAll(text, fmt.Appendf(nil, "<link rel=\"stylesheet\" href=%q>\n", folder+sheet))
	var hinted []string
	return script.ReplaceAllFunc(text, func(tag []byte) []byte {
		was := string(script.FindSubmatch(tag)[1])
		name := path.Base(was)
		var hints bytes.Buffer
		for _, i := range imports.before(name) {
			if !slices.Contains(hinted, i) {
				hinted = append(hinted, i)
				fmt.Fprintf(&hints, "<link rel=\"modulepreload\" href=%q>\n", folder+i)
			}
		}
		return append(hints.Bytes(), bytes.Replace(tag, []byte(was), []byte(folder+name), 1)...)
	})
}

// fault says what cannot be joined, and where.
func fault(messages []api.Message) error {
	var all []error
	for _, m := range messages {
		where := ""
		if m.Location != nil {
			where = fmt.Sprintf("%s:%d:%d: ", m.Location.File, m.Location.Line, m.Location.Column)
		}
		all = append(all, fmt.Errorf("join page: %s%s", where, m.Text))
	}
	return errors.Join(all...)
}
