package api

import (
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"go.uber.org/zap"

	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// Mark marks a submission by one rubric. Safe for concurrent use.
type Mark func(s grader.Submission) grader.Result

// Prepare makes a rubric ready for marking, or says what is wrong with it; warnings come with a Mark.
type Prepare func(r *rubric.Rubric) (Mark, []*source.Diag)

// Compile is the Prepare of the grader: the rubric's claims, model answers and examples are checked.
//
// Cost: that of marking the model answers and the examples.
func Compile(r *rubric.Rubric) (Mark, []*source.Diag) {
	marker, diags := grader.Compile(r)
	if marker == nil {
		return nil, diags
	}
	return marker.Grade, diags
}

// maxOlder bounds the rubrics that are kept after they were replaced.
const maxOlder = 256

// Rubrics are the rubrics of one folder, read at the start and again at Reload. By quiz id there is the version that
// stands in the folder; versions that were replaced while the service ran stay reachable by digest (the last 256). A
// file with an error is kept out, and where an earlier version of it was good that one stays. So do all while the folder
// is gone, out of reach or empty.
type Rubrics struct {
	dir     string
	prepare Prepare
	log     *zap.Logger

	reload sync.Mutex
	shelf  atomic.Pointer[shelf]
}

// shelf is one state of the store. It is never changed.
type shelf struct {
	newest   map[string]*loaded // by quiz id
	byDigest map[string]*loaded
	older    []string // digests, the longest replaced first
	defects  []defect
	counts   RubricCounts // the sums since the start
}

type loaded struct {
	*rubric.Rubric
	mark Mark
}

// defect is a file that is kept out. What is wrong with it is in the log only: a message may quote a model answer.
type defect struct {
	file         string // without folder
	line, column int
}

// OpenRubrics reads a folder for the first time. It never fails: an unreadable folder is an empty store with a defect.
func OpenRubrics(dir string, prepare Prepare, log *zap.Logger) *Rubrics {
	if log == nil {
		log = zap.NewNop()
	}
	r := &Rubrics{dir: dir, prepare: prepare, log: log}
	r.shelf.Store(&shelf{})
	r.Reload()
	return r
}

// Reload reads the folder again. Requests in hand keep the rubric they began with. It gives the errors and warnings.
func (r *Rubrics) Reload() []*source.Diag {
	r.reload.Lock()
	defer r.reload.Unlock()
	before := r.shelf.Load()
	rubrics, diags := rubric.LoadDir(r.dir)
	next := &shelf{newest: map[string]*loaded{}, byDigest: map[string]*loaded{}, counts: before.counts}
	for _, one := range rubrics {
		mark, more := r.ready(before, one)
		diags = append(diags, more...)
		if mark != nil {
			next.newest[one.Quiz.Value] = &loaded{Rubric: one, mark: mark}
			if _, same := before.byDigest[one.Digest]; !same {
				next.counts.Accepted++
			}
		}
	}
	source.Sort(diags)
	next.note(diags)
	next.inherit(before, unreadable(r.dir, diags))
	next.counts.Readings++
	next.counts.Rejected += len(next.defects)
	r.shelf.Store(next)
	r.report(next, diags)
	return diags
}

// ready prepares a rubric, unless the very same bytes are ready already.
func (r *Rubrics) ready(before *shelf, one *rubric.Rubric) (Mark, []*source.Diag) {
	if same, ok := before.byDigest[one.Digest]; ok {
		return same.mark, nil
	}
	return r.prepare(one)
}

// note lists the files that are kept out, each once.
func (s *shelf) note(diags []*source.Diag) {
	for _, d := range diags {
		if d.Severity != source.Error {
			continue
		}
		file := filepath.Base(d.File)
		if !slices.ContainsFunc(s.defects, func(known defect) bool { return known.file == file }) {
			s.defects = append(s.defects, defect{file, d.At.Start.Line, d.At.Start.Column})
		}
	}
}

// unreadable tells that the folder as a whole could not be read, or is empty: nothing is known about its files.
func unreadable(dir string, diags []*source.Diag) bool {
	return slices.ContainsFunc(diags, func(d *source.Diag) bool { return d.Severity == source.Error && d.File == dir })
}

// inherit keeps what was there before: the good version of a file that is now broken, all of them where the folder
// cannot be read, and replaced versions by digest.
func (s *shelf) inherit(before *shelf, all bool) {
	for quiz, old := range before.newest {
		broken := all || slices.ContainsFunc(s.defects, func(d defect) bool { return d.file == filepath.Base(old.File) })
		if _, replaced := s.newest[quiz]; !replaced && broken {
			s.newest[quiz] = old
		}
	}
	for _, one := range s.newest {
		s.byDigest[one.Digest] = one
	}
	replaced := slices.Clone(before.older)
	for _, old := range before.newest {
		replaced = append(replaced, old.Digest)
	}
	for _, digest := range replaced {
		if _, current := s.byDigest[digest]; !current {
			s.older = append(s.older, digest)
		}
	}
	s.older = s.older[max(0, len(s.older)-maxOlder):]
	for _, digest := range s.older {
		s.byDigest[digest] = before.byDigest[digest]
	}
}

func (r *Rubrics) report(next *shelf, diags []*source.Diag) {
	for _, d := range diags {
		r.log.Warn("rubric file", zap.Stringer("severity", d.Severity), zap.String("code", d.Code), zap.String("message", d.Error()))
	}
	r.log.Info("rubrics loaded", zap.Int("ready", len(next.newest)), zap.Int("kept_out", len(next.defects)))
}

// all are the newest rubrics by quiz id.
func (s *shelf) all() []*loaded {
	list := make([]*loaded, 0, len(s.newest))
	for _, one := range s.newest {
		list = append(list, one)
	}
	slices.SortFunc(list, func(a, b *loaded) int { return strings.Compare(a.Quiz.Value, b.Quiz.Value) })
	return list
}

// find takes a quiz id or a digest; one of them is "".
func (s *shelf) find(quiz, digest string) *loaded {
	if digest != "" {
		return s.byDigest[digest]
	}
	return s.newest[quiz]
}
