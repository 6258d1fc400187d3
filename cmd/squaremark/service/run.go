package service

import (
	"context"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	"go.uber.org/zap"
)

// Run serves until the process is told to stop (SIGTERM or SIGINT), then finishes what is in flight. Meanwhile SIGHUP,
// or a change that a look at the files finds, reads settings and rubrics again.
func (s *Service) Run(ctx context.Context) error {
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGTERM, os.Interrupt)
	defer stop()
	for _, name := range s.settings.Strangers() {
		s.log.Warn("an environment variable is no setting", zap.String("name", name))
	}
	end, err := s.serveMetrics()
	if err != nil {
		return err
	}
	defer end()
	listener, err := net.Listen("tcp", s.settings.Listen)
	if err != nil {
		return err
	}
	build := CurrentBuild()
	s.log.Info("listening", zap.String("address", listener.Addr().String()),
		zap.String("version", build.Version), zap.String("revision", build.Revision), zap.String("engine", build.Engine))
	again := make(chan os.Signal, 1)
	signal.Notify(again, syscall.SIGHUP)
	defer signal.Stop(again)
	go s.follow(ctx, again)
	return s.Server.Serve(ctx, listener)
}

// serveMetrics serves the private address, where there is one, until the function it gives is called: metrics can be
// read while the service drains.
func (s *Service) serveMetrics() (end func(), err error) {
	if s.settings.Metrics == "" {
		return func() {}, nil
	}
	listener, err := net.Listen("tcp", s.settings.Metrics)
	if err != nil {
		return nil, err
	}
	s.log.Info("metrics", zap.String("address", listener.Addr().String()), zap.Bool("profile", s.settings.Profile))
	server := &http.Server{
		Handler: s.Metrics.Handler(s.settings.Profile), ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second,
		WriteTimeout: 2 * time.Minute, IdleTimeout: time.Minute, ErrorLog: log.New(io.Discard, "", 0),
	}
	go func() {
		if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			s.log.Error("metrics are no longer served", zap.Error(err))
		}
	}()
	return func() { _ = server.Close() }, nil
}
