using System.Globalization;
using FsCheck.Xunit;

namespace FlickerProbe.Tests.Properties;

/// <summary>A law that must hold for every invented input. The inputs are the same in every run, unless FLICKERPROBE_SEED names others;
/// FLICKERPROBE_INPUTS multiplies their number.</summary>
/// <remarks>A fixed seed keeps a test run repeatable; <c>tools/robustness</c> tries fresh ones.</remarks>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class LawAttribute : PropertyAttribute
{
    /// <summary>Tries the law on so many inputs.</summary>
    public LawAttribute(int inputs = 200)
    {
        Inputs = inputs;
        MaxTest = inputs * int.Parse(Environment.GetEnvironmentVariable("FLICKERPROBE_INPUTS") ?? "1", CultureInfo.InvariantCulture);
        Replay = $"({Environment.GetEnvironmentVariable("FLICKERPROBE_SEED") ?? "7041"},9)";
        Arbitrary = [typeof(Inventions)];
        QuietOnSuccess = true;
    }

    /// <summary>Inputs tried in a usual run.</summary>
    public int Inputs { get; }
}
