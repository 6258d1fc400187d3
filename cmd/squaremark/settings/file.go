package settings

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// maxFile bounds the settings file, in bytes.
const maxFile = 1 << 20

// groups are keys of the file that hold further keys of the table.
var groups = map[string]bool{"limits": true}

// readFile takes over the settings file. Unknown keys are errors. Errors carry the file and the place in it.
func (s *Settings) readFile() error {
	f, err := os.Open(s.file)
	if err != nil {
		return fmt.Errorf("settings file: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return fmt.Errorf("settings file: %w", err)
	}
	if len(data) > maxFile {
		return fmt.Errorf("%s: expected at most %d bytes", s.file, maxFile)
	}
	tree, err := parser.ParseBytes(data, 0)
	if err != nil {
		return s.unreadable(err)
	}
	if len(tree.Docs) > 1 {
		return fmt.Errorf("%s: expected one document, found %d", s.file, len(tree.Docs))
	}
	for _, document := range tree.Docs {
		if err := s.readKeys(document.Body, ""); err != nil {
			return err
		}
	}
	return nil
}

// readKeys takes over the keys of a mapping.
func (s *Settings) readKeys(body ast.Node, group string) error {
	if body == nil || body.Type() == ast.NullType || body.Type() == ast.CommentType {
		return nil
	}
	mapping, ok := body.(ast.MapNode)
	if !ok {
		return s.fault(body.GetToken(), "expected keys with values")
	}
	for entries := mapping.MapRange(); entries.Next(); {
		entry := entries.KeyValue()
		key := group + entry.Key.GetToken().Value
		var err error
		switch {
		case key == "platforms":
			err = s.readPlatforms(entry.Value)
		case groups[key]:
			err = s.readKeys(entry.Value, key+".")
		default:
			err = s.readValue(key, entry)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *Settings) readValue(key string, entry *ast.MappingValueNode) error {
	for _, t := range Table() {
		if t.Key != key {
			continue
		}
		at := entry.Value.GetToken()
		switch entry.Value.(type) {
		case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		default:
			return s.fault(at, key+": expected one value")
		}
		if err := t.set(s, at.Value); err != nil {
			return s.fault(at, key+": "+err.Error())
		}
		s.origins[key] = s.place(at)
		return nil
	}
	return s.fault(entry.Key.GetToken(), key+": there is no such setting")
}

func (s *Settings) readPlatforms(value ast.Node) error {
	if err := yaml.NodeToValue(value, &s.Platforms, yaml.Strict()); err != nil {
		return s.unreadable(err)
	}
	for i := range s.Platforms {
		s.Platforms[i].complete()
	}
	s.note("platforms", value)
	return nil
}

// note writes down where each value below a node stands.
func (s *Settings) note(path string, node ast.Node) {
	switch n := node.(type) {
	case *ast.SequenceNode:
		for i, one := range n.Values {
			s.note(fmt.Sprintf("%s[%d]", path, i), one)
		}
	case ast.MapNode:
		for entries := n.MapRange(); entries.Next(); {
			s.note(path+"."+entries.Key().GetToken().Value, entries.Value())
		}
	default:
		s.origins[path] = s.place(node.GetToken())
	}
}

func (s *Settings) place(at *token.Token) string {
	return fmt.Sprintf("%s:%d", filepath.Base(s.file), at.Position.Line)
}

// unreadable leaves out the lines of the file that the library would show: they end up in logs.
func (s *Settings) unreadable(err error) error {
	return fmt.Errorf("%s:%s", s.file, yaml.FormatError(err, false, false))
}

func (s *Settings) fault(at *token.Token, message string) error {
	return fmt.Errorf("%s:%d:%d: %s", s.file, at.Position.Line, at.Position.Column, message)
}
