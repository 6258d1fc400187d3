package rubric

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"unicode/utf8"

	"squaremark/algebra/source"
)

// loader collects what is wrong with one file.
type loader struct {
	name   string
	file   *file
	diags  []*source.Diag
	errors int
}

// maxDiags is how many faults of one file are kept.
const maxDiags = 200

func (l *loader) add(d *source.Diag) {
	d.File = l.name
	if len(l.diags) < maxDiags {
		l.diags = append(l.diags, d)
	}
	if d.Severity == source.Error {
		l.errors++
	}
}

func (l *loader) failed() bool { return l.errors > 0 }

// Load reads a rubric from the bytes of a file; name stands in messages. The
// rubric is nil where there are errors; warnings come with a rubric. Cost:
// linear in the length of data, which is bounded by 256 KiB.
func Load(name string, data []byte) (*Rubric, []*source.Diag) {
	l := &loader{name: name}
	r := l.load(data)
	source.Sort(l.diags)
	if l.failed() {
		return nil, l.diags
	}
	return r, l.diags
}

func (l *loader) load(data []byte) *Rubric {
	if len(data) > maxBytes {
		l.add(l.fileTooLarge(len(data)))
		return nil
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if !l.cleanText(text) {
		return nil
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	l.file = newFile(text)
	root := l.tree(text)
	if root == nil {
		return nil
	}
	r := l.quiz(root)
	r.File = l.name
	r.Digest = Digest(data)
	l.verify(r)
	return r
}

// cleanText refuses text that is not UTF-8 and control characters.
func (l *loader) cleanText(text string) bool {
	for i, r := range text {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(text[i:]); size == 1 {
				l.add(l.notUTF8(source.PositionAt(text, i)))
				return false
			}
		}
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' || r == 0x7f {
			l.add(l.controlCharacter(source.PositionAt(text, i), r))
			return false
		}
	}
	return true
}

// Digest names the bytes of a rubric file: "sha256:" and 64 hexadecimal
// digits (FIPS 180-4).
func Digest(data []byte) string {
	sum := sha256.Sum256(data)
	return "sha256:" + hex.EncodeToString(sum[:])
}

// LoadFile reads the rubric in a file. A file that cannot be read is told
// as a diagnostic without a place.
func LoadFile(path string) (*Rubric, []*source.Diag) {
	data, err := readBounded(path)
	if err != nil {
		return nil, []*source.Diag{cannotRead(path, err)}
	}
	return Load(path, data)
}

// readBounded reads at most one byte more than Load accepts.
func readBounded(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxBytes+1))
}

// maxFiles bounds the number of rubric files in a folder.
const maxFiles = 500

// LoadDir reads every file of a folder whose name ends in .yaml or .yml, in
// the order of their names. Two files for one quiz are an error. Rubrics
// without errors are returned even where other files have some.
func LoadDir(dir string) ([]*Rubric, []*source.Diag) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, []*source.Diag{cannotRead(dir, err)}
	}
	var names []string
	for _, e := range entries {
		ext := filepath.Ext(e.Name())
		if !e.IsDir() && (ext == ".yaml" || ext == ".yml") {
			names = append(names, e.Name())
		}
	}
	sort.Strings(names)
	if len(names) == 0 {
		return nil, []*source.Diag{cannotRead(dir, fmt.Errorf("it holds no file that ends in .yaml or .yml"))}
	}
	if len(names) > maxFiles {
		return nil, []*source.Diag{cannotRead(dir, fmt.Errorf("it holds %d rubric files, at most %d are read", len(names), maxFiles))}
	}
	var (
		rubrics []*Rubric
		diags   []*source.Diag
		first   = map[string]*Rubric{}
	)
	for _, name := range names {
		r, more := LoadFile(filepath.Join(dir, name))
		diags = append(diags, more...)
		if r == nil {
			continue
		}
		if other := first[r.Quiz.Value]; other != nil {
			diags = append(diags, quizTwice(r, other))
			continue
		}
		first[r.Quiz.Value] = r
		rubrics = append(rubrics, r)
	}
	return rubrics, diags
}
