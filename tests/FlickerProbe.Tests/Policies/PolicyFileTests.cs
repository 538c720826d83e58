using FlickerProbe.Files.Policies;
using FlickerProbe.Room;
using FlickerProbe.Units;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Policies;

public class PolicyFileTests
{
    private const string Schema = "schema: flickerprobe/policy/1\n";

    [Fact]
    public void A_policy_overrides_what_it_names_and_keeps_the_rest()
    {
        LoadedPolicy loaded = PolicyFile.Parse(Schema + "name: House rules\ndepth: { pass: 0.8%, fail: 0.025 }\nsvm-threshold: perz-2018\n", "house.yaml");

        Assert.Equal("House rules", loaded.Policy.Name);
        Assert.Equal(0.008, loaded.Policy.Depth.Pass, 12);
        Assert.Equal(0.025, loaded.Policy.Depth.Fail, 12);
        Assert.Equal("the policy 'House rules'", loaded.Policy.Depth.Source);
        Assert.Equal(Policy.Default.Pulsing, loaded.Policy.Pulsing);
        Assert.Equal(StroboscopicThreshold.Perz2018, loaded.Policy.SvmThreshold);
        Assert.Equal(64, loaded.Sha256.Length);
    }

    [Theory]
    [InlineData("", "house.yaml, line 1: the file is empty")]
    [InlineData("name: x\n", "house.yaml, line 1: A policy needs 'schema'")]
    [InlineData("schema: flickerprobe/policy/2\n", "house.yaml, line 1: the schema is 'flickerprobe/policy/2'")]
    [InlineData(Schema + "dept: { pass: 1% }\n", "house.yaml, line 2: 'dept' is not known in a policy: did you mean 'depth'?")]
    [InlineData(Schema + "depth: { pas: 1% }\n", "house.yaml, line 2: 'pas' is not known in 'depth': did you mean 'pass'?")]
    [InlineData(Schema + "depth: 1%\n", "house.yaml, line 2: 'depth' must be a block")]
    [InlineData(Schema + "depth:\n  pass: NaN\n", "house.yaml, line 3: 'pass' must be a share")]
    [InlineData(Schema + "depth:\n  pass: .nan\n", "house.yaml, line 3: 'pass' must be a share")]
    [InlineData(Schema + "depth:\n  pass: 1\n", "house.yaml, line 3: 'pass' must be a share such as 1% or 0.01, but is '1'")]
    [InlineData(Schema + "depth:\n  pass: -1%\n", "house.yaml, line 3: 'pass' must be a share")]
    [InlineData(Schema + "depth:\n  pass: 0\n", "house.yaml, line 3: 'pass' must be a share")]
    [InlineData(Schema + "depth:\n  fail: [1%]\n", "house.yaml, line 3: 'fail' must be a single value")]
    [InlineData(Schema + "depth:\n  fail: 3%\n  pass: 4%\n", "house.yaml, line 4: the pass line of 'depth' (4.0 %) lies over its fail line (3.0 %)")]
    [InlineData(Schema + "pulsing:\n  pass: 2%\n", "house.yaml, line 3: the pass line of 'pulsing' (2.0 %) lies over its fail line (1.5 %)")]
    [InlineData(Schema + "svm-threshold: t3\n", "house.yaml, line 2: 'svm-threshold' must be cie-2016 or perz-2018")]
    public void A_faulty_policy_is_refused_with_file_line_and_what_was_expected(string text, string start)
    {
        InputException refusal = Assert.Throws<InputException>(() => PolicyFile.Parse(text, "house.yaml"));
        Assert.StartsWith(start, refusal.Message, StringComparison.Ordinal);
    }
}
