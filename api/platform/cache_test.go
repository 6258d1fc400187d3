package platform

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The cache of access tokens never grows beyond its bound: first goes what is over, then what ends first.
func TestTokenCacheIsBounded(t *testing.T) {
	now := time.Unix(1936517213, 0)
	tokens := newTokens(clients{}, func() time.Time { return now })
	for i := range maxCachedTokens {
		tokens.keep(fmt.Sprint("key ", i), grantedToken{text: "t", life: time.Hour + time.Duration(i)*time.Second}, now)
	}
	tokens.keep("unkept", grantedToken{text: "t"}, now)
	assert.Len(t, tokens.cache, maxCachedTokens)
	tokens.keep("one more", grantedToken{text: "t", life: 2 * time.Hour}, now)
	assert.Len(t, tokens.cache, maxCachedTokens)
	_, there := tokens.cached("key 0")
	assert.False(t, there, "it would have ended first")
	_, there = tokens.cached("one more")
	assert.True(t, there)
	now = now.Add(time.Hour)
	tokens.keep("later", grantedToken{text: "t", life: time.Hour}, now)
	assert.Less(t, len(tokens.cache), maxCachedTokens, "what is over went away")
}

func BenchmarkVerify(b *testing.B) {
	m := newMinter(b, "https://courses.example", someKey(b))
	verifier, token := m.verifier(b, m.now), m.token(b, map[string]any{"scope": "grade", "jti": "j-1"})
	for b.Loop() {
		_, refusal := verifier.Verify(context.Background(), token)
		require.Nil(b, refusal)
	}
}

func BenchmarkScoreBytes(b *testing.B) {
	score := fullScore("10/3", "10")
	for b.Loop() {
		_, err := score.MarshalJSON()
		require.NoError(b, err)
	}
}

func BenchmarkParseScore(b *testing.B) {
	text, err := fullScore("10/3", "10").MarshalJSON()
	require.NoError(b, err)
	for b.Loop() {
		_, err := ParseScore(text)
		require.NoError(b, err)
	}
}
