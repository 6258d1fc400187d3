// Package course carries the demo course: the rubric files of an invented
// evening maths circle, ready to be unpacked where there is no checkout.
package course

import (
	"embed"
	"io/fs"
	"os"
	"path/filepath"
)

//go:embed *.yaml
var files embed.FS

// Unpack writes the rubric files into a new temporary folder, which the
// caller removes. Errors: those of the file system.
func Unpack() (folder string, err error) {
	if folder, err = os.MkdirTemp("", "squaremark-course-"); err != nil {
		return "", err
	}
	names, err := fs.Glob(files, "*.yaml")
	if err != nil {
		return folder, err
	}
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			return folder, err
		}
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o600); err != nil {
			return folder, err
		}
	}
	return folder, nil
}
