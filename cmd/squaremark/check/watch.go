package check

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"time"
)

// Watch checks files, and each again whenever its contents change, until ctx
// ends. Every check ends in one line that tells what came of it. A file that is
// missing or empty for a while, as when an editor replaces it, is waited for. Files are
// looked at every interval; saving without a change is no change.
// Errors: a file that cannot be read at the start.
func Watch(ctx context.Context, out io.Writer, files []string, every time.Duration) error {
	seen := make([][]byte, len(files))
	for i, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		seen[i] = text
		File(name, text).print(out, true)
	}
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
		for i, name := range files {
			text, err := os.ReadFile(name)
			if err != nil || len(text) == 0 || bytes.Equal(text, seen[i]) {
				continue
			}
			seen[i] = text
			fmt.Fprintln(out)
			File(name, text).print(out, true)
		}
	}
}
