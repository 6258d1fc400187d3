package main

import (
	"fmt"

	"squaremark/cmd/squaremark/service"
)

type versionCommand struct{}

// Run prints what this is.
func (versionCommand) Run() error {
	b := service.CurrentBuild()
	changed := ""
	if b.Changed {
		changed = " with changes"
	}
	fmt.Printf("squaremark %s\ncommit     %s%s\nengine     %s\ncompiler   %s\n", b.Version, b.Revision, changed, b.Engine, b.Go)
	return nil
}
