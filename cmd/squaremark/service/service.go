// Package service puts a running service together from settings. Everything
// here starts and stops, and can be run inside a test.
package service

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/signal"
	"syscall"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"

	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/cmd/squaremark/settings"
)

// Logger writes one JSON object a line to standard output.
func Logger(level string) (*zap.Logger, error) {
	at, err := zapcore.ParseLevel(level)
	if err != nil {
		return nil, fmt.Errorf("log: expected debug, info, warn or error, found %q", level)
	}
	config := zap.NewProductionConfig()
	config.Level = zap.NewAtomicLevelAt(at)
	config.Sampling = nil
	config.DisableStacktrace = true
	config.OutputPaths, config.ErrorOutputPaths = []string{"stdout"}, []string{"stderr"}
	config.EncoderConfig.EncodeTime = zapcore.ISO8601TimeEncoder
	config.EncoderConfig.TimeKey = "time"
	return config.Build()
}

// Service is a server with the rubrics it reads.
type Service struct {
	Server  *api.Server
	Rubrics *api.Rubrics
	log     *zap.Logger
}

// New builds a service from settings.
func New(s settings.Settings, log *zap.Logger) (*Service, error) {
	folder, err := s.RubricFolder()
	if err != nil {
		return nil, err
	}
	partners, issuers, err := s.Ready()
	if err != nil {
		return nil, err
	}
	return Assemble(folder, partners, issuers, log)
}

// Assemble builds a service from parts that are ready.
func Assemble(folder string, partners []api.Platform, issuers []platform.IssuerConfig, log *zap.Logger) (*Service, error) {
	verifier, err := platform.NewVerifier(issuers, platform.VerifierOptions{})
	if err != nil {
		return nil, err
	}
	rubrics := api.OpenRubrics(folder, api.Compile, log)
	server, err := api.New(api.Config{
		Rubrics: rubrics, Verifier: verifier, Sender: platform.NewClient(platform.ClientOptions{Log: log}),
		Platforms: partners, Log: log,
	})
	if err != nil {
		return nil, err
	}
	return &Service{Server: server, Rubrics: rubrics, log: log}, nil
}

// Run serves on the address until the process is told to stop (SIGTERM or
// SIGINT), then finishes what is in flight. SIGHUP reads the rubrics again.
func (s *Service) Run(ctx context.Context, address string) error {
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGTERM, os.Interrupt)
	defer stop()
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return err
	}
	s.log.Info("listening", zap.String("address", listener.Addr().String()))
	again := make(chan os.Signal, 1)
	signal.Notify(again, syscall.SIGHUP)
	defer signal.Stop(again)
	go func() {
		for {
			select {
			case <-again:
				s.Rubrics.Reload()
				s.log.Info("rubrics read again")
			case <-ctx.Done():
				return
			}
		}
	}()
	return s.Server.Serve(ctx, listener)
}
