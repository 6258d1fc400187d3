package settings

import (
	"errors"
	"net"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"squaremark/api/platform"
)

// Setting describes a setting that is one value.
type Setting struct {
	Key     string // in the settings file, and for --set; a dot stands before a key of a group
	Meaning string

	set func(s *Settings, text string) error // an error says what is expected and does not repeat the text
	get func(s *Settings) string
}

// Variable is the environment variable of the setting: limits.bodyBytes has SQUAREMARK_LIMITS_BODY_BYTES.
func (t Setting) Variable() string {
	var b strings.Builder
	b.WriteString(variablePrefix)
	for _, r := range t.Key {
		switch {
		case r == '.':
			b.WriteByte('_')
		case unicode.IsUpper(r):
			b.WriteByte('_')
			b.WriteRune(r)
		default:
			b.WriteRune(unicode.ToUpper(r))
		}
	}
	return b.String()
}

// Default is the default as text.
func (t Setting) Default() string {
	s := Default()
	return t.get(&s)
}

// Table lists every setting that is one value, in the order in which they are documented. Platforms are set in the
// settings file only.
func Table() []Setting {
	return []Setting{
		text("listen", "address of the API", address, func(s *Settings) *string { return &s.Listen }),
		text("rubrics", "folder of rubric files; a relative name starts at the settings file, or in an environment variable or a flag at the working folder", nil, func(s *Settings) *string { return &s.Rubrics }),
		text("log", "level of the log: debug, info, warn or error", level, func(s *Settings) *string { return &s.Log }),
		text("metrics", "address of the metrics, which only operators may reach; empty for none", address, func(s *Settings) *string { return &s.Metrics }),
		truth("profile", "profiles of the process beside the metrics", func(s *Settings) *bool { return &s.Profile }),
		duration("watch", "time between two looks at rubrics, settings, keys and secrets; 0s for none", 0, time.Hour, func(s *Settings) *time.Duration { return &s.Watch }),

		text("networks", "private networks that calls to platforms may reach, such as 10.20.0.0/16, with commas between them; empty for none", networks, func(s *Settings) *string { return &s.Networks }),

		whole("limits.bodyBytes", "bytes of a request's body", 1<<10, 16<<20, func(s *Settings) *int64 { return &s.Limits.BodyBytes }),
		whole("limits.depth", "nesting in a request's body", 4, 64, func(s *Settings) *int { return &s.Limits.Depth }),
		whole("limits.headerBytes", "bytes of all header fields of a request", 4<<10, 1<<20, func(s *Settings) *int { return &s.Limits.HeaderBytes }),
		duration("limits.readHeader", "time for a request's header", 100*time.Millisecond, time.Minute, func(s *Settings) *time.Duration { return &s.Limits.ReadHeader }),
		duration("limits.readBody", "time for a request's body after that", 100*time.Millisecond, 5*time.Minute, func(s *Settings) *time.Duration { return &s.Limits.ReadBody }),
		duration("limits.request", "time for marking and delivery together", time.Second, 10*time.Minute, func(s *Settings) *time.Duration { return &s.Limits.Request }),
		duration("limits.idle", "time a connection may be idle", time.Second, time.Hour, func(s *Settings) *time.Duration { return &s.Limits.Idle }),
		decimal("limits.perSecond", "requests of one caller each second, sustained", 0.01, 1e6, func(s *Settings) *float64 { return &s.Limits.PerSecond }),
		whole("limits.burst", "requests of one caller at once", 1, 1_000_000, func(s *Settings) *int { return &s.Limits.Burst }),
		whole("limits.callers", "callers that are remembered", 1, 1_000_000, func(s *Settings) *int { return &s.Limits.Callers }),
		whole("limits.inFlight", "submissions in hand, delivery included; more are refused at once", 1, 100_000, func(s *Settings) *int { return &s.Limits.InFlight }),
		whole("limits.batches", "batches at the same time; more are refused at once", 1, 1024, func(s *Settings) *int { return &s.Limits.Batches }),
		whole("limits.batchLines", "lines of one batch", 1, 1_000_000, func(s *Settings) *int { return &s.Limits.BatchLines }),
		whole("limits.batchWindow", "lines of one batch in hand at the same time", 1, 1024, func(s *Settings) *int { return &s.Limits.BatchWindow }),
		duration("limits.batch", "time for one whole batch", time.Second, 24*time.Hour, func(s *Settings) *time.Duration { return &s.Limits.Batch }),
		duration("limits.batchPause", "longest wait for the next line of a batch, and for the caller to take a reply", time.Second, time.Hour, func(s *Settings) *time.Duration { return &s.Limits.BatchPause }),
		whole("limits.marking", "submissions being marked at the same time", 1, 1024, func(s *Settings) *int { return &s.Limits.Marking }),
		duration("limits.receipt", "time for which a receipt can be delivered", time.Minute, platform.MaxReceiptLife, func(s *Settings) *time.Duration { return &s.Limits.Receipt }),
		duration("limits.drainDelay", "time from the order to stop to the closed listener, still answering", 0, 10*time.Minute, func(s *Settings) *time.Duration { return &s.Limits.DrainDelay }),
		duration("limits.drain", "time for what is in flight after that", time.Second, time.Hour, func(s *Settings) *time.Duration { return &s.Limits.Drain }),
	}
}

func text(key, meaning string, check func(string) error, field func(*Settings) *string) Setting {
	return Setting{key, meaning, func(s *Settings, text string) error {
		if check != nil {
			if err := check(text); err != nil {
				return err
			}
		}
		*field(s) = text
		return nil
	}, func(s *Settings) string { return *field(s) }}
}

func address(text string) error {
	if text == "" {
		return nil
	}
	_, port, err := net.SplitHostPort(text)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	if err != nil {
		return errors.New("expected an address with a port, such as 127.0.0.1:8080")
	}
	return nil
}

func networks(text string) error {
	_, err := platform.ParseNetworks(listed(text))
	return err
}

// listed takes a list with commas apart.
func listed(text string) []string {
	list := strings.Split(strings.ReplaceAll(text, " ", ""), ",")
	return slices.DeleteFunc(list, func(one string) bool { return one == "" })
}

// PrivateNetworks are the networks of the setting, read.
func (s *Settings) PrivateNetworks() ([]netip.Prefix, error) {
	return platform.ParseNetworks(listed(s.Networks))
}

func level(text string) error {
	switch text {
	case "debug", "info", "warn", "error":
		return nil
	}
	return errors.New("expected debug, info, warn or error")
}

func truth(key, meaning string, field func(*Settings) *bool) Setting {
	return Setting{key, meaning, func(s *Settings, text string) error {
		switch text {
		case "true", "false":
			*field(s) = text == "true"
			return nil
		}
		return errors.New("expected true or false")
	}, func(s *Settings) string { return strconv.FormatBool(*field(s)) }}
}

func duration(key, meaning string, least, most time.Duration, field func(*Settings) *time.Duration) Setting {
	return Setting{key, meaning, func(s *Settings, text string) error {
		d, err := time.ParseDuration(text)
		if err != nil || d < least || d > most {
			return errors.New("expected a duration with a unit, such as 30s, from " + least.String() + " to " + most.String())
		}
		*field(s) = d
		return nil
	}, func(s *Settings) string { return field(s).String() }}
}

func whole[T int | int64](key, meaning string, least, most T, field func(*Settings) *T) Setting {
	return Setting{key, meaning, func(s *Settings, text string) error {
		n, err := strconv.ParseInt(text, 10, 32)
		if err != nil || T(n) < least || T(n) > most {
			return errors.New("expected a whole number from " + strconv.FormatInt(int64(least), 10) + " to " + strconv.FormatInt(int64(most), 10))
		}
		*field(s) = T(n)
		return nil
	}, func(s *Settings) string { return strconv.FormatInt(int64(*field(s)), 10) }}
}

func decimal(key, meaning string, least, most float64, field func(*Settings) *float64) Setting {
	form := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	return Setting{key, meaning, func(s *Settings, text string) error {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || !(x >= least && x <= most) {
			return errors.New("expected a number from " + form(least) + " to " + form(most))
		}
		*field(s) = x
		return nil
	}, func(s *Settings) string { return form(*field(s)) }}
}
