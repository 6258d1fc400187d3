// Package service puts a running service together from settings. Everything here starts and stops, and can be run
// inside a test.
//
//	service.go  the parts, put together
//	run.go      listeners, signals, the end
//	reload.go   settings, keys, secrets and rubrics read again while it runs
//	build.go    what is running
//	log.go      the log
package service

import (
	"net/netip"
	"sync"

	"go.uber.org/zap"

	"squaremark/api"
	"squaremark/api/metrics"
	"squaremark/api/platform"
	"squaremark/cmd/squaremark/settings"
)

// Service is a server with what it reads and what counts it.
type Service struct {
	Server  *api.Server
	Rubrics *api.Rubrics
	Metrics *metrics.Metrics
	log     *zap.Logger

	again func() (settings.Settings, error) // reads the settings again

	reload   sync.Mutex
	settings settings.Settings // those in force
	verifier *platform.Verifier
	stamps   stamps
	stale    string // why the last reading of the settings could not be used
}

// New builds a service from settings. They are loaded once now, and again while it runs.
//
// Errors: those of loading, and what cannot be made ready, by its key and without secrets.
func New(load func() (settings.Settings, error), log *zap.Logger) (*Service, error) {
	s, err := load()
	if err != nil {
		return nil, err
	}
	folder, err := s.RubricFolder()
	if err != nil {
		return nil, err
	}
	seen := stampsOf(&s, folder) // before reading, so that no change is missed
	partners, issuers, err := s.Ready()
	if err != nil {
		return nil, err
	}
	networks, err := s.PrivateNetworks()
	if err != nil {
		return nil, err
	}
	service, err := assemble(folder, partners, issuers, networks, s.Limits, log)
	if err != nil {
		return nil, err
	}
	service.again, service.settings, service.stamps = load, s, seen
	return service, nil
}

// Assemble builds a service from parts that are ready, with limits as they are by default.
func Assemble(folder string, partners []api.Platform, issuers []platform.IssuerConfig, log *zap.Logger) (*Service, error) {
	return assemble(folder, partners, issuers, nil, api.DefaultLimits(), log)
}

func assemble(folder string, partners []api.Platform, issuers []platform.IssuerConfig, networks []netip.Prefix, limits api.Limits, log *zap.Logger) (*Service, error) {
	verifier, err := platform.NewVerifier(issuers, platform.VerifierOptions{Networks: networks})
	if err != nil {
		return nil, err
	}
	rubrics := api.OpenRubrics(folder, api.Compile, log)
	counts := metrics.New(metrics.Options{
		Build: CurrentBuild().Build, Platforms: issuersOf(issuers), InFlight: limits.InFlight, Rubrics: rubrics.Counts,
	})
	client := platform.NewClient(platform.ClientOptions{Log: log, OnToken: counts.Token, Networks: networks})
	server, err := api.New(api.Config{
		Rubrics: rubrics, Verifier: verifier, Platforms: partners, Limits: limits, Log: log, Observer: counts,
		Sender: client, LineItems: client,
	})
	if err != nil {
		return nil, err
	}
	return &Service{Server: server, Rubrics: rubrics, Metrics: counts, log: log, verifier: verifier}, nil
}

func issuersOf(list []platform.IssuerConfig) []string {
	names := make([]string, len(list))
	for i, one := range list {
		names[i] = one.Issuer
	}
	return names
}
