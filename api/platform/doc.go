// Package platform talks back to course platforms: it posts scores to their gradebooks, sends signed webhooks, and
// checks the bearer tokens with which platforms call this service.
//
// Outgoing. A [Client] posts a [Score] to the line item of a [Registration] (LTI Assignment and Grade Services 2.0)
// with an access token from [Tokens] (1EdTech Security Framework 1.0, RFC 7523), and an [Event] to a [Webhook]
// (Standard Webhooks 1.0.0). Each call ends in an [Outcome]: what became of it, in words of this package. Nothing
// the other side writes is ever returned or logged.
//
// Incoming. A [Verifier] decides on a bearer token (RFC 7515, 7519, 8725): a [Caller], or a [Refusal] with a code of
// a closed set.
//
// Limits of a stateless sender: retries live inside one call and its deadline; nothing survives a restart. The same
// submission gives the same webhook identity again, and score posts are ordered by time, so repeating is harmless.
//
// A score that cannot be delivered can travel as a receipt in the caller's hands ([Receipts]). Results can be read back,
// and line items found or made, with rights asked for only then. [CheckLaunch] decides on the claims of a launch.
//
// Not covered: the login that leads to a launch, changing line items, HTTP message signatures, a memory of token
// identifiers (grading twice has no second effect). Networks with private addresses are out of reach unless the operator
// lists them.
//
// Where things are: keys in signingkey.go, thumbprint.go, keyset.go; what may be called in address.go, target.go,
// httpclient.go; access tokens in registration.go, assertion.go, tokens.go, tokenanswer.go, authorized.go; scores in
// score.go, scorecheck.go, scoreencode.go, scoreparse.go, decimal.go, instant.go, clock.go, stamps.go, lineitem.go,
// receipt.go; sending in client.go, attempts.go, outcome.go, retryafter.go, trace.go, postscore.go, postwebhook.go; reading
// in readresults.go, manageitems.go, link.go; webhooks in secret.go, webhook.go, webhookverify.go; incoming tokens in
// verifier.go, issuer.go, compact.go, claims.go, verifykey.go, keysource.go, refusal.go, launch.go; JSON from outside in
// strictjson.go.
package platform
