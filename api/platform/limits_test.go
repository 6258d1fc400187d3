package platform

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The page of threats says how long other systems are waited for and how much of their answers is read. What it says
// is what the code does.
func TestTheWrittenLimitsAreTheRealOnes(t *testing.T) {
	raw, err := os.ReadFile("../THREATS.md")
	require.NoError(t, err)
	page := strings.ReplaceAll(string(raw), "\n", " ")
	limits, retry, issuer := Limits{}.withDefaults(), RetryPolicy{}.withDefaults(), IssuerConfig{}.withDefaults()
	plain := func(d time.Duration) string {
		text := d.String()
		for _, zero := range []string{"m0s", "h0m"} {
			if strings.HasSuffix(text, zero) {
				text = strings.TrimSuffix(text, zero[1:])
			}
		}
		return text
	}
	for _, sentence := range []string{
		fmt.Sprintf("Connecting has %s, the TLS handshake %s, the header of an answer %s, one try %s in all.",
			plain(limits.Connect), plain(limits.TLS), plain(limits.Header), plain(limits.Total)),
		fmt.Sprintf("%d KiB, thrown away", maxDrained>>10),
		fmt.Sprintf("%d tries within %s, waits from %s doubling to %s, and up to a quarter more", retry.Attempts, plain(retry.Total), plain(retry.First), plain(retry.Longest)),
		fmt.Sprintf("| access token | %d KiB | with the call that needs it; kept for 9/10 of its life, at most %s |", maxTokenAnswer>>10, plain(maxTokenLife)),
		fmt.Sprintf("| %d KiB, %d keys | one reading in %s, whatever comes; fresh for %s, kept for %s while", maxKeySetBytes>>10, maxKeys, plain(issuer.KeysGap), plain(issuer.KeysFresh), plain(issuer.KeysKept)),
		fmt.Sprintf("| %d MiB a page, %d pages, %d entries |", maxPageBytes>>20, maxPages, maxEntries),
		fmt.Sprintf("| making a line item | %d MiB | none:", maxPageBytes>>20),
	} {
		assert.Contains(t, page, sentence)
	}
}
