package main

import (
	"context"
	"maps"
	"os"

	"go.uber.org/zap"

	"squaremark/cmd/squaremark/service"
	"squaremark/cmd/squaremark/settings"
)

type serveCommand struct {
	Config        string            `help:"Settings file, or SQUAREMARK_CONFIG." placeholder:"FILE"`
	Listen        string            `help:"Address of the API." placeholder:"HOST:PORT"`
	Rubrics       string            `help:"Folder of rubric files." placeholder:"DIR"`
	Log           string            `help:"Level of the log: debug, info, warn or error." placeholder:"LEVEL"`
	Metrics       string            `help:"Address of the metrics, which only operators may reach." placeholder:"HOST:PORT"`
	Set           map[string]string `help:"Any other setting of one value, such as limits.inFlight=40; repeatable." mapsep:"none" placeholder:"KEY=VALUE"`
	ExplainConfig bool              `help:"Print every setting in force and where it comes from, check them, and end."`
}

// Help tells the order of sources.
func (*serveCommand) Help() string {
	return "For each setting the first that names it counts: a flag, an environment variable (SQUAREMARK_LISTEN, " +
		"SQUAREMARK_LIMITS_IN_FLIGHT and so on), the settings file, the default."
}

// Run serves until the process is told to stop.
func (c *serveCommand) Run() error {
	if c.ExplainConfig {
		return c.explain()
	}
	s, err := c.load()
	if err != nil {
		return err
	}
	log, err := service.Logger(s.Log)
	if err != nil {
		return err
	}
	defer func() { _ = log.Sync() }()
	run, err := service.New(c.load, log)
	if err != nil {
		return err
	}
	return run.Run(context.Background())
}

// load reads all sources of settings.
func (c *serveCommand) load() (settings.Settings, error) {
	flags := map[string]string{}
	maps.Copy(flags, c.Set)
	for key, value := range map[string]string{"listen": c.Listen, "rubrics": c.Rubrics, "log": c.Log, "metrics": c.Metrics} {
		if value != "" {
			flags[key] = value
		}
	}
	return settings.Load(settings.Sources{Flags: flags, Environment: os.Environ(), File: c.Config})
}

// explain prints the settings, then puts together what serve would, without listening.
func (c *serveCommand) explain() error {
	s, err := c.load()
	if err != nil {
		return err
	}
	if err := s.Explain(os.Stdout); err != nil {
		return err
	}
	_, err = service.New(c.load, zap.NewNop())
	return err
}
