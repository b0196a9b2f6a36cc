// Package watch tells when the files of a show have changed on disk, whoever
// changed them and however their editor saves: in place, by renaming a new file
// over the old one, or by putting another folder there. What has changed is known
// by the bytes; events of the system only say when to look, and where there are
// none the folder is looked at again and again. It reads no YAML.
package watch
