package platform

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: RFC 7517, sections 4 and 5.
func TestOddKeysArePassedOver(t *testing.T) {
	set, err := NewKeySet(someKey(t))
	require.NoError(t, err)
	text, err := set.PublicJWKS()
	require.NoError(t, err)
	var served struct{ Keys []map[string]any }
	require.NoError(t, json.Unmarshal(text, &served))
	good := served.Keys[0]
	with := func(changes map[string]any) map[string]any {
		entry := map[string]any{}
		for name, value := range good {
			entry[name] = value
		}
		for name, value := range changes {
			if value == nil {
				delete(entry, name)
			} else {
				entry[name] = value
			}
		}
		return entry
	}
	other := "AMcW8pa6FhBqlZ_jYyJ8hGe2AYd1WQmC7Rb1mCLYzQ8" // far too short a modulus
	for _, row := range []struct {
		name  string
		entry any
		kept  bool
	}{
		{"good", good, true},
		{"unknown-member", with(map[string]any{"note": "x"}), true},
		{"no-algorithm-stated", with(map[string]any{"alg": nil}), true},
		{"use-not-stated", with(map[string]any{"use": nil}), true},
		{"key-ops-verify", with(map[string]any{"use": nil, "key_ops": []string{"verify"}}), true},
		{"certificate-address-not-followed", with(map[string]any{"x5u": "https://127.0.0.1:9/c"}), true},
		{"for-encryption", with(map[string]any{"use": "enc"}), false},
		{"key-ops-sign-only", with(map[string]any{"use": nil, "key_ops": []string{"sign"}}), false},
		{"other-algorithm", with(map[string]any{"alg": "RS512"}), false},
		{"no-identifier", with(map[string]any{"kid": nil}), false},
		{"long-identifier", with(map[string]any{"kid": strings.Repeat("k", 257)}), false},
		{"unknown-type", with(map[string]any{"kty": "lattice"}), false},
		{"no-modulus", with(map[string]any{"n": nil}), false},
		{"short-modulus", with(map[string]any{"n": other}), false},
		{"shared-secret", map[string]any{"kty": "oct", "kid": "s", "alg": "HS256", "k": other}, false},
		{"not-an-object", 7, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			set, err := json.Marshal(map[string]any{"keys": []any{row.entry, map[string]any{"kty": "odd"}}})
			require.NoError(t, err)
			keys, err := parseKeys(set, []string{"RS256"})
			require.NoError(t, err)
			assert.Equal(t, row.kept, len(keys) == 1)
		})
	}
	second, err := GenerateSigningKey(2048)
	require.NoError(t, err)
	secondSet, err := NewKeySet(second)
	require.NoError(t, err)
	text, err = secondSet.PublicJWKS()
	require.NoError(t, err)
	var servedSecond struct{ Keys []map[string]any }
	require.NoError(t, json.Unmarshal(text, &servedSecond))
	clash := servedSecond.Keys[0]
	clash["kid"] = good["kid"]
	all, err := json.Marshal(map[string]any{"keys": []any{good, clash, good}})
	require.NoError(t, err)
	keys, err := parseKeys(all, []string{"RS256"})
	require.NoError(t, err)
	assert.Empty(t, keys, "two keys with one identifier are both passed over")
	for _, text := range []string{"", "[]", "{}", `{"keys":null}`, `{"keys":{}}`, `{"keys":[],"keys":[]}`} {
		_, err := parseKeys([]byte(text), []string{"RS256"})
		assert.Error(t, err, text)
	}
}
