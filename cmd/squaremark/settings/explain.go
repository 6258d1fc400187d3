package settings

import (
	"fmt"
	"io"
	"net/url"
	"reflect"
	"strings"
	"text/tabwriter"
)

const hidden = "(hidden)"

// Explain prints every setting in force and where it comes from. Secrets are never read for it; what looks like one is
// hidden.
func (s *Settings) Explain(out io.Writer) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	row := func(key, value, origin string) {
		if value == "" {
			value = "-"
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", key, value, origin)
	}
	row("SETTING", "VALUE", "FROM")
	if s.file != "" {
		row("config", s.file, s.origin("config"))
	}
	for _, t := range Table() {
		row(t.Key, t.get(s), s.origin(t.Key))
	}
	for i, p := range s.Platforms {
		s.explain(row, fmt.Sprintf("platforms[%d]", i), reflect.ValueOf(p))
	}
	for _, name := range s.unknown {
		row(name, hidden, "environment; not a setting, ignored")
	}
	return w.Flush()
}

func (s *Settings) origin(key string) string {
	if from, known := s.origins[key]; known {
		return from
	}
	return "default"
}

// explain walks a platform by the keys of the file.
func (s *Settings) explain(row func(key, value, origin string), path string, value reflect.Value) {
	switch value.Kind() {
	case reflect.Struct:
		for i := range value.NumField() {
			s.explain(row, path+"."+value.Type().Field(i).Tag.Get("yaml"), value.Field(i))
		}
	case reflect.Slice:
		if value.Len() == 0 {
			row(path, "", s.origin(path))
		}
		for i := range value.Len() {
			s.explain(row, fmt.Sprintf("%s[%d]", path, i), value.Index(i))
		}
	default:
		row(path, masked(fmt.Sprint(value)), s.origin(path))
	}
}

// masked hides what must not be shown: keys that stand where the name of a file belongs, and the parts of addresses
// in which people put them.
func masked(text string) string {
	if looksSecret(text) {
		return hidden
	}
	u, err := url.Parse(text)
	if err != nil || u.Host == "" || (u.User == nil && u.RawQuery == "" && u.Fragment == "") {
		return text
	}
	shown := u.Scheme + "://" + u.Host + u.EscapedPath()
	return shown + " " + hidden
}

// looksSecret tells whether a text is a webhook secret or a private key itself.
func looksSecret(text string) bool {
	return strings.HasPrefix(text, "whsec_") || strings.HasPrefix(text, "whsk_") || strings.Contains(text, "PRIVATE KEY")
}
