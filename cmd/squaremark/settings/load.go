package settings

import (
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
)

// variablePrefix is in front of every environment variable of the service.
const variablePrefix = "SQUAREMARK_"

// fileVariable names the settings file.
const fileVariable = variablePrefix + "CONFIG"

// Sources are where settings come from. For each setting the first source that names it counts, in this order.
type Sources struct {
	Flags       map[string]string // by key of the table
	Environment []string          // NAME=value
	File        string            // the settings file; "" takes SQUAREMARK_CONFIG, or none
}

// Load reads all sources. Errors name the flag, the variable, or the file and the place in it, and what is expected
// there; they do not repeat values of the environment.
func Load(from Sources) (Settings, error) {
	s := Default()
	environment := variables(from.Environment)
	s.file, s.origins["config"] = from.File, flag("config")
	if s.file == "" {
		s.file, s.origins["config"] = environment[fileVariable], "environment "+fileVariable
	}
	if s.file != "" {
		s.file = absolute(s.file)
		if err := s.readFile(); err != nil {
			return s, err
		}
		s.Rubrics = s.beside(s.Rubrics)
	}
	table := Table()
	if err := s.overrideBy(table, environment, Setting.Variable, func(name string) string { return "environment " + name }); err != nil {
		return s, err
	}
	if err := s.overrideBy(table, from.Flags, func(t Setting) string { return t.Key }, flag); err != nil {
		return s, err
	}
	for key := range from.Flags {
		if !slices.ContainsFunc(table, func(t Setting) bool { return t.Key == key }) {
			return s, fmt.Errorf("%s: there is no such setting", flag(key))
		}
	}
	s.unknown = strangers(table, environment)
	return s, s.check()
}

// ownFlags are the settings with a flag of their own; the others are given with --set.
var ownFlags = []string{"config", "listen", "rubrics", "log", "metrics"}

// flag is the flag that gives a setting.
func flag(key string) string {
	if slices.Contains(ownFlags, key) {
		return "flag --" + key
	}
	return "flag --set " + key
}

// overrideBy takes over the settings that a source names.
func (s *Settings) overrideBy(table []Setting, source map[string]string, name func(Setting) string, origin func(string) string) error {
	for _, t := range table {
		value, named := source[name(t)]
		if !named {
			continue
		}
		if err := t.set(s, value); err != nil {
			return fmt.Errorf("%s: %w", origin(name(t)), err)
		}
		s.origins[t.Key] = origin(name(t))
		if t.Key == "rubrics" {
			s.Rubrics = absolute(s.Rubrics)
		}
	}
	return nil
}

// check looks at what settings are together.
func (s *Settings) check() error {
	switch {
	case s.Metrics != "" && s.Metrics == s.Listen:
		return errors.New("metrics: expected another address than that of listen")
	case s.Profile && s.Metrics == "":
		return errors.New("profile: profiles are served beside the metrics; set metrics too")
	}
	return nil
}

// RubricFolder is the folder of rubric files.
func (s *Settings) RubricFolder() (string, error) {
	if s.Rubrics == "" {
		return "", errors.New("no folder of rubrics is set: give --rubrics, SQUAREMARK_RUBRICS, or the key rubrics of the settings file")
	}
	return s.Rubrics, nil
}

// variables takes the environment apart.
func variables(environment []string) map[string]string {
	all := map[string]string{}
	for _, entry := range environment {
		if name, value, ok := strings.Cut(entry, "="); ok && strings.HasPrefix(name, variablePrefix) && value != "" {
			all[name] = value
		}
	}
	return all
}

// strangers are variables with our prefix that name no setting. They are told rather than refused: an orchestrator may
// set such variables for a service of this name.
func strangers(table []Setting, environment map[string]string) []string {
	known := map[string]bool{fileVariable: true}
	for _, t := range table {
		known[t.Variable()] = true
	}
	var list []string
	for _, name := range slices.Sorted(maps.Keys(environment)) {
		if !known[name] {
			list = append(list, name)
		}
	}
	return list
}

// Strangers are environment variables with the service's prefix that are no setting: perhaps a slip of the pen.
func (s *Settings) Strangers() []string { return s.unknown }

// Changed names the settings of one value that differ; they count from the next start on.
func (s *Settings) Changed(next *Settings) []string {
	var list []string
	for _, t := range Table() {
		if t.get(s) != t.get(next) {
			list = append(list, t.Key)
		}
	}
	return list
}

func absolute(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		return full
	}
	return path
}
