package service

import (
	"runtime/debug"

	"squaremark/algebra"
	"squaremark/api/metrics"
)

// version and revision are set by the linker where the build has no version control at hand, as in a container:
//
//	go build -ldflags "-X squaremark/cmd/squaremark/service.version=… -X squaremark/cmd/squaremark/service.revision=…"
var version, revision string

// Build says what is running.
type Build struct {
	metrics.Build
	Changed bool   // the source had changes that no commit holds
	Go      string // version of the compiler
}

// CurrentBuild is that of this process.
func CurrentBuild() Build {
	info, _ := debug.ReadBuildInfo()
	return buildOf(info, version, revision)
}

// buildOf takes what the linker was told, or else what the compiler wrote down.
func buildOf(info *debug.BuildInfo, version, revision string) Build {
	b := Build{Build: metrics.Build{Version: version, Revision: revision, Engine: algebra.EngineVersion}}
	if info != nil {
		b.Go = info.GoVersion
		if b.Version == "" {
			b.Version = info.Main.Version
		}
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision" && b.Revision == "":
				b.Revision = s.Value
			case s.Key == "vcs.modified" && revision == "":
				b.Changed = s.Value == "true"
			}
		}
	}
	if b.Version == "" {
		b.Version = "unknown"
	}
	if b.Revision == "" {
		b.Revision = "unknown"
	}
	return b
}
