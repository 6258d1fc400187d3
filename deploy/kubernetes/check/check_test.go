// Package check decodes the manifests strictly into the types of the Kubernetes API and holds them to the rules that
// the service relies on. It is a module of its own, so that these types are no dependency of the service.
package check

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	apps "k8s.io/api/apps/v1"
	autoscaling "k8s.io/api/autoscaling/v2"
	core "k8s.io/api/core/v1"
	networking "k8s.io/api/networking/v1"
	policy "k8s.io/api/policy/v1"
	meta "k8s.io/apimachinery/pkg/apis/meta/v1"
	"sigs.k8s.io/yaml"
)

// read decodes one manifest; unknown and repeated keys are errors.
func read[T any](t *testing.T, name, version, kind string) T {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", name))
	if err != nil {
		t.Fatal(err)
	}
	var object struct {
		meta.TypeMeta `json:",inline"`
	}
	if err := yaml.Unmarshal(text, &object); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if object.APIVersion != version || object.Kind != kind {
		t.Errorf("%s: expected %s %s, found %s %s", name, version, kind, object.APIVersion, object.Kind)
	}
	var into T
	if err := yaml.UnmarshalStrict(text, &into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return into
}

type manifests struct {
	namespace  core.Namespace
	settings   core.ConfigMap
	deployment apps.Deployment
	service    core.Service
	autoscaler autoscaling.HorizontalPodAutoscaler
	disruption policy.PodDisruptionBudget
	network    networking.NetworkPolicy
}

func all(t *testing.T) manifests {
	return manifests{
		read[core.Namespace](t, "namespace.yaml", "v1", "Namespace"),
		read[core.ConfigMap](t, "settings.yaml", "v1", "ConfigMap"),
		read[apps.Deployment](t, "deployment.yaml", "apps/v1", "Deployment"),
		read[core.Service](t, "service.yaml", "v1", "Service"),
		read[autoscaling.HorizontalPodAutoscaler](t, "autoscaler.yaml", "autoscaling/v2", "HorizontalPodAutoscaler"),
		read[policy.PodDisruptionBudget](t, "disruption.yaml", "policy/v1", "PodDisruptionBudget"),
		read[networking.NetworkPolicy](t, "network.yaml", "networking.k8s.io/v1", "NetworkPolicy"),
	}
}

func equal[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: expected %v, found %v", what, want, got)
	}
}

func TestEveryManifestIsRead(t *testing.T) {
	files, err := filepath.Glob("../*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "manifests", len(files), 7)
	m := all(t)
	for _, object := range []meta.ObjectMeta{
		m.settings.ObjectMeta, m.deployment.ObjectMeta, m.service.ObjectMeta, m.autoscaler.ObjectMeta, m.disruption.ObjectMeta, m.network.ObjectMeta,
	} {
		equal(t, object.Name, object.Namespace, m.namespace.Name)
	}
}

// What selects pods selects these, and what names a port names one of theirs.
func TestNamesAgree(t *testing.T) {
	m := all(t)
	pod := m.deployment.Spec.Template
	for what, selector := range map[string]map[string]string{
		"deployment": m.deployment.Spec.Selector.MatchLabels, "service": m.service.Spec.Selector,
		"disruption": m.disruption.Spec.Selector.MatchLabels, "network": m.network.Spec.PodSelector.MatchLabels,
		"spread": pod.Spec.TopologySpreadConstraints[0].LabelSelector.MatchLabels,
	} {
		equal(t, what+" selects something", len(selector) > 0, true)
		for key, value := range selector {
			equal(t, what+" selects by "+key, pod.Labels[key], value)
		}
	}
	target := m.autoscaler.Spec.ScaleTargetRef
	equal(t, "autoscaler", target.Kind+"/"+target.Name, "Deployment/"+m.deployment.Name)
	equal(t, "replicas are the autoscaler's", m.deployment.Spec.Replicas == nil, true)
	equal(t, "two replicas at least", *m.autoscaler.Spec.MinReplicas >= 2, true)

	container := pod.Spec.Containers[0]
	ports := map[string]bool{}
	for _, p := range container.Ports {
		ports[p.Name] = true
	}
	equal(t, "service port", ports[m.service.Spec.Ports[0].TargetPort.String()], true)
	for _, rule := range m.network.Spec.Ingress {
		equal(t, "network port", ports[rule.Ports[0].Port.String()], true)
		equal(t, "network peers are named", len(rule.From) > 0, true)
	}
	for path, probe := range map[string]*core.Probe{
		"/healthz": container.LivenessProbe, "/readyz": container.ReadinessProbe,
	} {
		equal(t, "probe", probe.HTTPGet.Path, path)
		equal(t, "probe port", probe.HTTPGet.Port.String(), "http")
	}
	equal(t, "start-up probe", container.StartupProbe.HTTPGet.Path, "/readyz")
	mounts := map[string]bool{}
	for _, mount := range container.VolumeMounts {
		mounts[mount.Name] = true
		equal(t, mount.Name+" is for reading", mount.ReadOnly, true)
		equal(t, mount.Name+" follows changes", mount.SubPath, "")
	}
	for _, v := range pod.Spec.Volumes {
		equal(t, "mounted "+v.Name, mounts[v.Name], true)
		delete(mounts, v.Name)
	}
	equal(t, "mounts without a volume", len(mounts), 0)
}

// Source: Kubernetes documentation, Pod Security Standards, restricted.
func TestRestricted(t *testing.T) {
	m := all(t)
	equal(t, "enforced", m.namespace.Labels["pod-security.kubernetes.io/enforce"], "restricted")
	pod := m.deployment.Spec.Template.Spec
	equal(t, "not root", *pod.SecurityContext.RunAsNonRoot, true)
	equal(t, "user of the image", *pod.SecurityContext.RunAsUser, 65532)
	equal(t, "seccomp", pod.SecurityContext.SeccompProfile.Type, core.SeccompProfileTypeRuntimeDefault)
	equal(t, "no token of the cluster", *pod.AutomountServiceAccountToken, false)
	equal(t, "no variables of other services", *pod.EnableServiceLinks, false)
	equal(t, "host", pod.HostNetwork || pod.HostPID || pod.HostIPC, false)
	for _, c := range pod.Containers {
		equal(t, "escalation", *c.SecurityContext.AllowPrivilegeEscalation, false)
		equal(t, "root file system", *c.SecurityContext.ReadOnlyRootFilesystem, true)
		equal(t, "rights", fmt.Sprint(c.SecurityContext.Capabilities.Drop, c.SecurityContext.Capabilities.Add), "[ALL] []")
		equal(t, "memory is bounded", c.Resources.Limits.Memory().IsZero(), false)
		equal(t, "processor is asked for", c.Resources.Requests.Cpu().IsZero(), false)
	}
	for _, v := range pod.Volumes {
		equal(t, v.Name+" is a folder of the host", v.HostPath == nil, true)
	}
	equal(t, "both directions", len(m.network.Spec.PolicyTypes), 2)
}

// The pod may take longer to end than the service needs for it.
func TestGraceIsLongEnough(t *testing.T) {
	m := all(t)
	var settings struct {
		Limits struct{ DrainDelay, Drain string }
	}
	if err := yaml.Unmarshal([]byte(m.settings.Data["settings.yaml"]), &settings); err != nil {
		t.Fatal(err)
	}
	delay, err := time.ParseDuration(settings.Limits.DrainDelay)
	if err != nil {
		t.Fatal(err)
	}
	drain, err := time.ParseDuration(settings.Limits.Drain)
	if err != nil {
		t.Fatal(err)
	}
	grace := time.Duration(*m.deployment.Spec.Template.Spec.TerminationGracePeriodSeconds) * time.Second
	equal(t, "grace", grace > delay+drain, true)
	readiness := m.deployment.Spec.Template.Spec.Containers[0].ReadinessProbe
	equal(t, "the service goes on answering for a look at readiness", delay >= time.Duration(readiness.PeriodSeconds)*time.Second, true)
}
