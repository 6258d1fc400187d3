package service

import (
	"context"
	"errors"
	"os"
	"time"

	"go.uber.org/zap"

	"squaremark/cmd/squaremark/settings"
)

// stamps are how the files looked when they were read last.
type stamps struct{ settings, rubrics string }

func stampsOf(s *settings.Settings, folder string) stamps {
	return stamps{settings.Stamp(s.Watched()...), settings.Stamp(folder)}
}

// follow reads again what changed, until the context ends. It looks at the files rather than asking the system for
// events: mounted folders whose links are moved, and network file systems, give no dependable ones.
func (s *Service) follow(ctx context.Context, again <-chan os.Signal) {
	var look <-chan time.Time
	if s.settings.Watch > 0 {
		ticker := time.NewTicker(s.settings.Watch)
		defer ticker.Stop()
		look = ticker.C
	}
	for {
		select {
		case <-ctx.Done():
			return
		case <-again:
			s.Reload()
		case <-look:
			s.Look()
		}
	}
}

// Reload reads settings, keys, secrets and rubrics again. What cannot be used changes nothing: the service goes on
// with what it has, and the log and the metrics say so. The error is that of the settings; those of rubrics are theirs.
func (s *Service) Reload() error {
	s.reload.Lock()
	defer s.reload.Unlock()
	s.stamps = stampsOf(&s.settings, s.settings.Rubrics)
	err := s.renew()
	s.Rubrics.Reload()
	return err
}

// Look reloads what changed since it was read last. Settings that could not be used are tried again at each look,
// because a file that they name may have come.
func (s *Service) Look() {
	s.reload.Lock()
	defer s.reload.Unlock()
	before := s.stamps
	s.stamps = stampsOf(&s.settings, s.settings.Rubrics)
	if s.stamps.settings != before.settings || s.stale != "" {
		_ = s.renew() // it told the log and the metrics
	}
	if s.stamps.rubrics != before.rubrics {
		s.Rubrics.Reload()
	}
}

// renew puts new settings in force, whole or not at all.
func (s *Service) renew() error {
	err := s.tryRenew()
	s.Metrics.Reloaded(err)
	switch {
	case err == nil:
		s.stale = ""
		s.log.Info("settings read again", zap.Int("platforms", len(s.settings.Platforms)))
	case err.Error() != s.stale:
		s.stale = err.Error()
		s.log.Error("settings cannot be used; those before stay in force", zap.Error(err))
	}
	return err
}

func (s *Service) tryRenew() error {
	if s.again == nil {
		return errors.New("this service was put together without a settings file")
	}
	next, err := s.again()
	if err != nil {
		return err
	}
	seen := settings.Stamp(next.Watched()...) // before keys and secrets are read
	partners, issuers, err := next.Ready()
	if err != nil {
		return err
	}
	verifier, err := s.verifier.Renewed(issuers)
	if err != nil {
		return err
	}
	if err := s.Server.Renew(partners, verifier); err != nil {
		return err
	}
	s.Metrics.Platforms(issuersOf(issuers))
	s.verifier = verifier
	if waiting := s.settings.Changed(&next); len(waiting) > 0 {
		s.log.Warn("some settings count from the next start on", zap.Strings("settings", waiting))
	}
	s.settings.Platforms, s.stamps.settings = next.Platforms, seen
	return nil
}
