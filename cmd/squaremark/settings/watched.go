package settings

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
)

// Watched are the files whose change calls for reading the settings again: the settings file, keys and secrets.
func (s *Settings) Watched() []string {
	var list []string
	add := func(name string) {
		if name != "" {
			list = append(list, s.beside(name))
		}
	}
	add(s.file)
	for _, p := range s.Platforms {
		add(p.KeySetFile)
		for _, key := range p.SigningKeys {
			add(key)
		}
		for _, hook := range p.Webhooks {
			for _, secret := range hook.SecretFiles {
				add(secret)
			}
		}
	}
	return list
}

// Stamp is a text that changes when one of the files, or a file in one of the folders, is written, exchanged, added or
// taken away. It looks at names, sizes and times of the files themselves, so that a link which is moved to another
// file is seen, and works on every file system. Cost: one look at each file, none is read.
func Stamp(paths ...string) string {
	sum := sha256.New()
	look := func(path string) {
		info, err := os.Stat(path)
		if err != nil {
			fmt.Fprintf(sum, "%q missing\n", path)
			return
		}
		fmt.Fprintf(sum, "%q %d %d %s\n", path, info.Size(), info.ModTime().UnixNano(), info.Mode())
	}
	for _, path := range paths {
		look(path)
		entries, err := os.ReadDir(path)
		if err != nil {
			continue // a file, or not there
		}
		for _, e := range entries {
			look(filepath.Join(path, e.Name()))
		}
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}
