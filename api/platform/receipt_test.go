package platform_test

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"math/big"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

const gardenItem = "https://circle.example/courses/12/items/7?section=B"

// made is a registration of an invented platform with the given keys.
func made(t testing.TB, issuer string, current *platform.SigningKey, older ...*platform.SigningKey) *platform.Registration {
	t.Helper()
	set, err := platform.NewKeySet(current, older...)
	require.NoError(t, err)
	return &platform.Registration{
		Issuer: issuer, ClientID: "client-circle", TokenURL: issuer + "/token", TokenAudience: issuer + "/token",
		LineItemOrigins: []string{issuer}, Keys: set,
	}
}

func fresh(t testing.TB) *platform.SigningKey {
	t.Helper()
	key, err := platform.GenerateSigningKey(2048)
	require.NoError(t, err)
	return key
}

func receipts(t testing.TB, r *platform.Registration, clock platform.Clock) *platform.Receipts {
	t.Helper()
	all, err := platform.NewReceipts(r, 48*time.Hour, clock)
	require.NoError(t, err)
	return all
}

func halfMarks() platform.Score {
	return platform.Score{
		UserID: "p-07c2", ScoreGiven: big.NewRat(10, 3), ScoreMaximum: big.NewRat(7, 1),
		ActivityProgress: platform.ActivityCompleted, GradingProgress: platform.GradingFullyGraded,
		Timestamp: time.Date(2031, 5, 14, 9, 20, 0, int(7*time.Millisecond), time.UTC),
		Comment:   `fence: "At x = 0 the expression is < 3 & the answer is 28."`,
	}
}

// Every row is a threat to receipts, and what becomes of it.
func TestReceiptThreats(t *testing.T) {
	now := time.Date(2031, 5, 14, 9, 20, 1, 0, time.UTC)
	clock := func() time.Time { return now }
	key, newer, foreign := fresh(t), fresh(t), fresh(t)
	circle := made(t, "https://circle.example", key)
	good, err := receipts(t, circle, clock).Sign(platform.Receipt{LineItem: gardenItem, Score: halfMarks()})
	require.NoError(t, err)
	body, err := halfMarks().MarshalJSON()
	require.NoError(t, err)
	claims := func(change map[string]any) map[string]any {
		all := map[string]any{
			"iss": "https://squaremark.example/receipts", "aud": "https://squaremark.example/receipts", "sub": "score",
			"iat": now.Unix(), "exp": now.Add(time.Hour).Unix(), "platform": circle.Issuer, "lineItem": gardenItem, "score": string(body),
		}
		for name, value := range change {
			all[name] = value
		}
		return all
	}
	signed := func(by *platform.SigningKey, typ string, change map[string]any) string {
		text, err := by.Sign(typ, claims(change))
		require.NoError(t, err)
		return text
	}
	swapped := func(change func(map[string]any)) string { // claims changed after signing
		parts := strings.Split(good, ".")
		raw, err := base64.RawURLEncoding.DecodeString(parts[1])
		require.NoError(t, err)
		var held map[string]any
		require.NoError(t, json.Unmarshal(raw, &held))
		change(held)
		raw, err = json.Marshal(held)
		require.NoError(t, err)
		return parts[0] + "." + base64.RawURLEncoding.EncodeToString(raw) + "." + parts[2]
	}
	for _, row := range []struct {
		threat  string
		reader  *platform.Registration
		receipt string
		after   time.Duration
		refused platform.RefusalCode // "": opened
	}{
		{"none", circle, good, 0, ""},
		{"none, made by hand", circle, signed(key, platform.ReceiptType, nil), 0, ""},
		{"replayed within its life", circle, good, 47 * time.Hour, ""},
		{"another instance, keys rotated since", made(t, circle.Issuer, newer, key), good, time.Hour, ""},
		{"key retired", made(t, circle.Issuer, newer), good, time.Hour, platform.RefusedKey},
		{"expired", circle, good, 48*time.Hour + 2*time.Minute, platform.RefusedExpired},
		{"made in the future", circle, good, -time.Hour, platform.RefusedEarly},
		{"given a longer life", circle, signed(key, platform.ReceiptType, map[string]any{"exp": now.Add(49 * time.Hour).Unix()}), 0, platform.RefusedLifetime},
		{"foreign platform, own keys", made(t, "https://other.example", foreign), good, 0, platform.RefusedKey},
		{"foreign platform, shared keys", made(t, "https://other.example", key), good, 0, platform.RefusedPlatform},
		{"foreign issuer that begins alike", made(t, "https://circle.example.evil.example", key), good, 0, platform.RefusedPlatform},
		{"no platform named", circle, signed(key, platform.ReceiptType, map[string]any{"platform": nil}), 0, platform.RefusedPlatform},
		{"score substituted", circle, swapped(func(c map[string]any) {
			c["score"] = strings.Replace(c["score"].(string), `"scoreGiven":10`, `"scoreGiven":21`, 1)
		}), 0, platform.RefusedSignature},
		{"pupil substituted", circle, swapped(func(c map[string]any) { c["score"] = strings.Replace(c["score"].(string), "p-07c2", "p-1e90", 1) }), 0, platform.RefusedSignature},
		{"line item substituted", circle, swapped(func(c map[string]any) { c["lineItem"] = "https://evil.example/items/1" }), 0, platform.RefusedSignature},
		{"life substituted", circle, swapped(func(c map[string]any) { c["exp"] = now.Add(90 * time.Hour).Unix() }), 0, platform.RefusedSignature},
		{"signed by a stranger", circle, signed(foreign, platform.ReceiptType, nil), 0, platform.RefusedKey},
		{"signature cut off", circle, good[:strings.LastIndexByte(good, '.')+1], 0, platform.RefusedSignature},
		{"unsigned", circle, base64.RawURLEncoding.EncodeToString([]byte(`{"alg":"none","typ":"`+platform.ReceiptType+`"}`)) + "." + strings.Split(good, ".")[1] + ".", 0, platform.RefusedAlgorithm},
		{"a client assertion", circle, signed(key, "JWT", nil), 0, platform.RefusedType},
		{"a token for somebody else", circle, signed(key, platform.ReceiptType, map[string]any{"aud": circle.TokenAudience}), 0, platform.RefusedAudience},
		{"issued by somebody else", circle, signed(key, platform.ReceiptType, map[string]any{"iss": "client-circle"}), 0, platform.RefusedIssuer},
		{"a score that is none", circle, signed(key, platform.ReceiptType, map[string]any{"score": `{"userId":"p-07c2"}`}), 0, platform.RefusedClaims},
		{"a score in other bytes", circle, signed(key, platform.ReceiptType, map[string]any{"score": strings.Replace(string(body), ":", ": ", 1)}), 0, platform.RefusedClaims},
		{"no score", circle, signed(key, platform.ReceiptType, map[string]any{"score": 7}), 0, platform.RefusedClaims},
		{"too long", circle, good + strings.Repeat("A", platform.MaxReceipt), 0, platform.RefusedSize},
		{"empty", circle, "", 0, platform.RefusedForm},
	} {
		t.Run(row.threat, func(t *testing.T) {
			later := func() time.Time { return now.Add(row.after) }
			receipt, refusal := receipts(t, row.reader, later).Open(context.Background(), row.receipt)
			if row.refused != "" {
				require.NotNil(t, refusal)
				assert.Equal(t, row.refused, refusal.Code)
				assert.Nil(t, receipt)
				return
			}
			require.Nil(t, refusal)
			assert.Equal(t, gardenItem, receipt.LineItem)
			again, err := receipt.Score.MarshalJSON()
			require.NoError(t, err)
			assert.Equal(t, string(body), string(again), "the very same bytes")
		})
	}
}

// Nothing but the score is in a receipt, and it looks different each time: it cannot be guessed.
func TestReceiptsHoldTheScoreOnly(t *testing.T) {
	all := receipts(t, made(t, "https://circle.example", fresh(t)), nil)
	first, err := all.Sign(platform.Receipt{LineItem: gardenItem, Score: halfMarks()})
	require.NoError(t, err)
	second, err := all.Sign(platform.Receipt{LineItem: gardenItem, Score: halfMarks()})
	require.NoError(t, err)
	assert.NotEqual(t, first, second)
	raw, err := base64.RawURLEncoding.DecodeString(strings.Split(first, ".")[1])
	require.NoError(t, err)
	var claims map[string]any
	require.NoError(t, json.Unmarshal(raw, &claims))
	looked, err := all.Sign(platform.Receipt{LineItem: gardenItem, Container: "https://circle.example/items", Score: halfMarks()})
	require.NoError(t, err)
	opened, refusal := all.Open(context.Background(), looked)
	require.Nil(t, refusal)
	assert.Equal(t, "https://circle.example/items", opened.Container)
	names := []string{}
	for name := range claims {
		names = append(names, name)
	}
	assert.ElementsMatch(t, []string{"iss", "aud", "sub", "jti", "iat", "exp", "platform", "lineItem", "score"}, names)
}

// A receipt is good for nothing but receipts: no access token can be had with it, and it is no bearer token.
func TestReceiptsAreNoOtherKindOfToken(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	receipt, err := receipts(t, c.registration, nil).Sign(platform.Receipt{LineItem: c.item, Score: halfMarks()})
	require.NoError(t, err)
	answer, err := http.PostForm(c.URL()+"/token", url.Values{
		"grant_type": {"client_credentials"}, "client_assertion": {receipt}, "scope": {platform.ScoreScope},
		"client_assertion_type": {"urn:ietf:params:oauth:client-assertion-type:jwt-bearer"},
	})
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Equal(t, http.StatusBadRequest, answer.StatusCode)
	verifier, err := platform.NewVerifier([]platform.IssuerConfig{c.IssuerConfig()}, platform.VerifierOptions{})
	require.NoError(t, err)
	_, refusal := verifier.Verify(context.Background(), receipt)
	require.NotNil(t, refusal)
	assert.Equal(t, platform.RefusedIssuer, refusal.Code)
}

// Whatever score can be sent comes back out of its receipt octet by octet.
func TestReceiptsKeepEveryScore(t *testing.T) {
	all := receipts(t, made(t, "https://circle.example", fresh(t)), nil)
	rapid.Check(t, func(t *rapid.T) {
		score := halfMarks()
		score.ScoreGiven = big.NewRat(rapid.Int64Range(0, 99).Draw(t, "given"), rapid.Int64Range(1, 30).Draw(t, "of"))
		score.ScoreMaximum = big.NewRat(rapid.Int64Range(1, 99).Draw(t, "maximum"), 1)
		score.Comment = platform.PlainComment(rapid.StringN(0, 200, -1).Draw(t, "comment"))
		score.Timestamp = time.UnixMilli(rapid.Int64Range(0, 4e12).Draw(t, "time"))
		score.Submission.SubmittedAt = time.Unix(rapid.Int64Range(1, 4e9).Draw(t, "submitted"), rapid.Int64Range(0, 999_999_999).Draw(t, "fraction"))
		body, err := score.MarshalJSON()
		require.NoError(t, err)
		text, err := all.Sign(platform.Receipt{LineItem: gardenItem, Score: score})
		require.NoError(t, err)
		receipt, refusal := all.Open(context.Background(), text)
		require.Nil(t, refusal)
		again, err := receipt.Score.MarshalJSON()
		require.NoError(t, err)
		require.Equal(t, string(body), string(again))
	})
}

func TestTheLongestScoreFitsIntoAReceipt(t *testing.T) {
	all := receipts(t, made(t, "https://circle.example", fresh(t)), nil)
	score := halfMarks()
	score.UserID = strings.Repeat("&", 255)
	score.Comment = strings.Repeat("<", 1000)
	item := "https://circle.example/" + strings.Repeat("&", 2000)
	text, err := all.Sign(platform.Receipt{LineItem: item, Score: score})
	require.NoError(t, err)
	receipt, refusal := all.Open(context.Background(), text)
	require.Nil(t, refusal)
	assert.Equal(t, item, receipt.LineItem)
	score.Extensions = map[string]json.RawMessage{"https://circle.example/x": json.RawMessage(`"` + strings.Repeat("x", 16_000) + `"`), "https://circle.example/y": json.RawMessage(`"` + strings.Repeat("x", 16_000) + `"`)}
	_, err = all.Sign(platform.Receipt{LineItem: item, Score: score})
	assert.ErrorContains(t, err, "too long")
	score.UserID = ""
	_, err = all.Sign(platform.Receipt{LineItem: item, Score: score})
	assert.ErrorContains(t, err, "userId")
}

func TestReceiptConfigurations(t *testing.T) {
	r := made(t, "https://circle.example", fresh(t))
	for _, life := range []time.Duration{0, -time.Hour, platform.MaxReceiptLife + 1} {
		_, err := platform.NewReceipts(r, life, nil)
		assert.ErrorContains(t, err, "life")
	}
	_, err := platform.NewReceipts(nil, time.Hour, nil)
	assert.ErrorContains(t, err, "key set")
}

// FuzzReceipt changes a good receipt in any way: nothing but the receipt itself is opened.
func FuzzReceipt(f *testing.F) {
	all := receipts(f, made(f, "https://circle.example", fresh(f)), nil)
	good, err := all.Sign(platform.Receipt{LineItem: gardenItem, Score: halfMarks()})
	require.NoError(f, err)
	f.Add(good)
	f.Add(strings.ToUpper(good))
	f.Add(good + "=")
	f.Add("..")
	f.Fuzz(func(t *testing.T, text string) {
		receipt, refusal := all.Open(context.Background(), text)
		if (receipt == nil) == (refusal == nil) || (receipt != nil) != (text == good) {
			t.Fatalf("%v %v", receipt, refusal)
		}
	})
}

func BenchmarkReceipt(b *testing.B) {
	r := made(b, "https://circle.example", fresh(b))
	for b.Loop() { // with making them ready, as the API does for each
		all, err := platform.NewReceipts(r, time.Hour, nil)
		require.NoError(b, err)
		text, err := all.Sign(platform.Receipt{LineItem: gardenItem, Score: halfMarks()})
		require.NoError(b, err)
		_, refusal := all.Open(context.Background(), text)
		require.Nil(b, refusal)
	}
}
