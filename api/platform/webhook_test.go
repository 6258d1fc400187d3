package platform

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type webhookVector struct {
	ID        string
	Secret    string
	Seed      string
	Public    string `json:"public_derived"`
	Secrets   map[string]string
	WebhookID string `json:"webhook-id"`
	Timestamp string `json:"webhook-timestamp"`
	Body      string
	Signature string   `json:"webhook-signature"`
	Verifies  []string `json:"verifies_with"`
}

func (v webhookVector) header() http.Header {
	h := http.Header{}
	h.Set("webhook-id", v.WebhookID)
	h.Set("webhook-timestamp", v.Timestamp)
	h.Set("webhook-signature", v.Signature)
	return h
}

func (v webhookVector) at(t *testing.T) time.Time {
	seconds, err := strconv.ParseInt(v.Timestamp, 10, 64)
	require.NoError(t, err)
	return time.Unix(seconds, 0)
}

type webhookVectors struct {
	Published []webhookVector
	Own       []webhookVector
	Tolerance struct {
		Seconds int
		Cases   []struct {
			Offset int
			Accept bool
		}
	}
	SecretLength struct{ Min, Max int } `json:"secret_length_octets"`
}

func secret(t testing.TB, text string) Secret {
	t.Helper()
	s, err := ParseSecret(text)
	require.NoError(t, err)
	return s
}

// Source: Standard Webhooks reference libraries (both published cases).
func TestPublishedWebhookSignatures(t *testing.T) {
	var file webhookVectors
	vectors(t, "standard-webhooks.json", &file)
	require.Len(t, file.Published, 2)
	for _, v := range file.Published {
		t.Run(v.ID, func(t *testing.T) {
			key := secret(t, v.Secret+v.Seed)
			signed, err := signatures([]Secret{key}, v.WebhookID, v.at(t), []byte(v.Body))
			require.NoError(t, err)
			assert.Equal(t, v.Signature, signed)
			id, err := VerifyWebhook([]Secret{key.Public()}, v.header(), []byte(v.Body), v.at(t))
			require.NoError(t, err)
			assert.Equal(t, v.WebhookID, id)
			if v.Public != "" {
				assert.Equal(t, v.Public, key.Public().String())
				_, err = VerifyWebhook([]Secret{secret(t, v.Public)}, v.header(), []byte(v.Body), v.at(t))
				assert.NoError(t, err)
			}
		})
	}
}

func TestOwnWebhookVectors(t *testing.T) {
	var file webhookVectors
	vectors(t, "standard-webhooks.json", &file)
	require.Len(t, file.Own, 8)
	for _, v := range file.Own {
		t.Run(v.ID, func(t *testing.T) {
			for name, text := range v.Secrets {
				_, err := VerifyWebhook([]Secret{secret(t, text)}, v.header(), []byte(v.Body), v.at(t))
				if assert.Equal(t, contains(v.Verifies, name), err == nil, "secret %s", name); err != nil {
					assert.ErrorIs(t, err, ErrWebhookSignature)
				}
			}
		})
	}
	rotation := file.Own[0]
	signed, err := signatures([]Secret{secret(t, rotation.Secrets["new"]), secret(t, rotation.Secrets["old"])},
		rotation.WebhookID, rotation.at(t), []byte(rotation.Body))
	require.NoError(t, err)
	assert.Equal(t, rotation.Signature, signed)
}

func contains(list []string, wanted string) bool {
	for _, entry := range list {
		if entry == wanted {
			return true
		}
	}
	return false
}

func TestWebhookTolerance(t *testing.T) {
	var file webhookVectors
	vectors(t, "standard-webhooks.json", &file)
	assert.Equal(t, time.Duration(file.Tolerance.Seconds)*time.Second, WebhookTolerance)
	v := file.Own[0]
	for _, c := range file.Tolerance.Cases {
		now := v.at(t).Add(-time.Duration(c.Offset) * time.Second)
		_, err := VerifyWebhook([]Secret{secret(t, v.Secrets["new"])}, v.header(), []byte(v.Body), now)
		assert.Equal(t, c.Accept, err == nil, "offset %d", c.Offset)
		if !c.Accept {
			assert.ErrorIs(t, err, ErrWebhookTime)
		}
	}
}

func TestWebhookHeaders(t *testing.T) {
	var file webhookVectors
	vectors(t, "standard-webhooks.json", &file)
	v := file.Own[0]
	for _, row := range []struct{ name, value string }{
		{"webhook-id", ""}, {"webhook-id", "a.b"}, {"webhook-timestamp", ""}, {"webhook-timestamp", "+1936517213"},
		{"webhook-timestamp", "1936517213.0"}, {"webhook-timestamp", "99999999999999999999"}, {"webhook-signature", ""},
		{"webhook-signature", strings.Repeat("v1,AAAA ", 40) + v.Signature},
	} {
		h := v.header()
		h.Set(row.name, row.value)
		_, err := VerifyWebhook([]Secret{secret(t, v.Secrets["new"])}, h, []byte(v.Body), v.at(t))
		assert.ErrorIs(t, err, ErrWebhookHeaders, "%s %q", row.name, row.value)
	}
	_, err := VerifyWebhook(nil, v.header(), []byte(v.Body), v.at(t))
	assert.ErrorIs(t, err, ErrWebhookSignature)
	_, err = VerifyWebhook([]Secret{{}}, v.header(), []byte(v.Body), v.at(t))
	assert.ErrorIs(t, err, ErrWebhookSignature)
}

func TestSecrets(t *testing.T) {
	var file webhookVectors
	vectors(t, "standard-webhooks.json", &file)
	octets := func(n int) string { return base64.StdEncoding.EncodeToString([]byte(strings.Repeat("k", n))) }
	seed := file.Published[1].Seed
	pair := secret(t, seed)
	full := base64.StdEncoding.EncodeToString(pair.private)
	for text, good := range map[string]bool{
		"whsec_" + octets(file.SecretLength.Min):      true,
		"whsec_" + octets(file.SecretLength.Max):      true,
		"whsec_" + octets(file.SecretLength.Min-1):    false,
		"whsec_" + octets(file.SecretLength.Max+1):    false,
		"whsec_not base64":                            false,
		"whsec_" + strings.TrimRight(octets(25), "="): false,
		octets(32):                  false,
		"":                          false,
		"whsk_" + full:              true,
		"whsk_" + octets(64):        false,
		"whsk_" + octets(31):        false,
		"whpk_" + octets(32):        true,
		"whpk_" + octets(33):        false,
		"other_" + octets(32):       false,
		"whsec_\n" + octets(32):     false,
		"whsec_" + octets(32) + " ": false,
	} {
		_, err := ParseSecret(text)
		assert.Equal(t, good, err == nil, "%q: %v", text, err)
	}
	for _, text := range []string{"whsec_" + octets(32), "whsk_" + full} {
		s := secret(t, text)
		encoded, err := json.Marshal(map[string]any{"s": s})
		require.NoError(t, err)
		for _, printed := range []string{fmt.Sprintf("%v %+v %#v %s", s, s, s, s), string(encoded)} {
			assert.NotContains(t, printed, text[6:20])
			assert.Contains(t, printed, "hidden")
		}
	}
	assert.Equal(t, "(no secret)", Secret{}.String())
}

func TestWebhookConfiguration(t *testing.T) {
	good := secret(t, "whsec_dC2XfKE3JbgJ4OAvMW3AKeIwvHTmvZ79J5FUOYpoCdE=")
	other := secret(t, "whsec_f0kC/rfZGbaFgTXaEtp4KZtjUE+nF3IJkhDsOCDzf48=")
	for _, row := range []struct {
		name string
		hook Webhook
		want string
	}{
		{"one", Webhook{Name: "parents", URL: "https://circle.example/in", Secrets: []Secret{good}}, ""},
		{"rotation", Webhook{Name: "parents", URL: "https://circle.example/in", Secrets: []Secret{good, other}}, ""},
		{"no-name", Webhook{URL: "https://circle.example/in", Secrets: []Secret{good}}, "name"},
		{"plain-http", Webhook{Name: "parents", URL: "http://circle.example/in", Secrets: []Secret{good}}, "https"},
		{"no-secret", Webhook{Name: "parents", URL: "https://circle.example/in"}, "found 0"},
		{"empty-secret", Webhook{Name: "parents", URL: "https://circle.example/in", Secrets: []Secret{{}}}, "cannot sign"},
		{"twice", Webhook{Name: "parents", URL: "https://circle.example/in", Secrets: []Secret{good, good}}, "twice"},
		{"many", Webhook{Name: "parents", URL: "https://circle.example/in", Secrets: make([]Secret, 5)}, "found 5"},
	} {
		err := row.hook.Validate()
		if row.want == "" {
			assert.NoError(t, err, row.name)
		} else {
			assert.ErrorContains(t, err, row.want, row.name)
		}
	}
}

func TestEventBodies(t *testing.T) {
	at := time.Date(2031, 5, 14, 9, 26, 53, 0, time.UTC)
	e := Event{Type: "submission.graded", Timestamp: at, Data: map[string]string{"note": "x² < 3 & y"}, Identity: []string{"i", "s-17"}}
	body, err := e.body()
	require.NoError(t, err)
	assert.Equal(t, `{"type":"submission.graded","timestamp":"2031-05-14T09:26:53.000Z","data":{"note":"x² < 3 & y"}}`, string(body))
	for name, change := range map[string]func(*Event){
		"type-empty":     func(e *Event) { e.Type = "" },
		"type-dots":      func(e *Event) { e.Type = "a..b" },
		"type-hyphen":    func(e *Event) { e.Type = "a-b" },
		"type-long":      func(e *Event) { e.Type = strings.Repeat("a", 129) },
		"time":           func(e *Event) { e.Timestamp = time.Time{} },
		"identity":       func(e *Event) { e.Identity = nil },
		"identity-blank": func(e *Event) { e.Identity = []string{"", ""} },
		"data":           func(e *Event) { e.Data = func() {} },
		"data-long":      func(e *Event) { e.Data = strings.Repeat("x", MaxEventBytes) },
	} {
		bad := e
		change(&bad)
		_, err := bad.body()
		assert.Error(t, err, name)
	}
}

func TestEventIDs(t *testing.T) {
	assert.Equal(t, EventID("a", "bc"), EventID("a", "bc"))
	assert.NotEqual(t, EventID("a", "bc"), EventID("ab", "c"))
	assert.NotEqual(t, EventID("a", ""), EventID("a"))
	rapid.Check(t, func(t *rapid.T) {
		assert.Regexp(t, `^evt_[0-9a-f]{40}$`, EventID(rapid.SliceOf(rapid.String()).Draw(t, "identity")...))
	})
}
