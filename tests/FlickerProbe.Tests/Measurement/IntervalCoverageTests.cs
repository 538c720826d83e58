using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;
using FrameRate = FlickerProbe.Camera.FrameRate;

namespace FlickerProbe.Tests.Measurement;

/// <summary>
/// Honest intervals by counting: sixty small takes of known light, and how often the 95 % intervals of frequency, amplitude and depth hold the
/// truth. Where 93 % or more hold in the long run, fewer than 51 of 60 do so once in a hundred such tests (binomial, P(X ≤ 50) = 0.8 %).
/// </summary>
public class IntervalCoverageTests
{
    private const int Takes = 60;

    [Fact]
    public void Frequency_amplitude_and_depth_hold_the_truth_as_often_as_they_say()
    {
        int frequency = 0, amplitude = 0, depth = 0, found = 0;
        var width = new List<double>();
        string misses = "";
        for (int i = 0; i < Takes; i++)
        {
            SyntheticTake scene = Scene(i, out double hertz);
            TakeMeasurement take = Judged.Of(scene).Take;
            double truth = scene.TrueDepth(scene.ExposureSeconds);
            // So few rows may leave a pattern finer than the rows open; the truth must then be one of the candidates, and the alias carries the interval.
            Tone? tone = take.Tones.FirstOrDefault(t => t.HarmonicNumber is 1 && t.CandidatesHz.Any(f => Math.Abs(f - hertz) < 0.5));
            if (tone is null)
            {
                misses += $"\n{i}: {hertz} Hz not found";
                continue;
            }
            found++;
            double fundamental = scene.Light is PulseLight p ? 2 * Math.Sin(Math.PI * p.Duty) / (Math.PI * p.Duty) * p.Duty * (1 - p.Low) / (p.Duty + (1 - p.Duty) * p.Low) : ((TonesLight)scene.Light).Harmonics[0].Amplitude;
            double onCamera = fundamental * Math.Abs(Math.Sin(Math.PI * hertz * scene.ExposureSeconds) / (Math.PI * hertz * scene.ExposureSeconds));
            double nearest = tone.CandidatesHz.MinBy(f => Math.Abs(f - hertz)), half = (tone.AliasHz.High - tone.AliasHz.Low) / 2;
            frequency += Count("frequency", tone.FrequencyHz ?? new Estimate(nearest, nearest - half, nearest + half), hertz);
            amplitude += Count("amplitude", tone.Amplitude, onCamera);
            depth += Count("depth", take.ModulationDepth!.Value, truth);
            width.Add((take.ModulationDepth!.Value.High - take.ModulationDepth.Value.Low) / truth);

            int Count(string what, Estimate estimate, double value)
            {
                if (estimate.Holds(value)) return 1;
                misses += $"\n{i}: {what} {estimate} for {value}";
                return 0;
            }
        }

        Assert.True(found >= Takes - 1, misses);
        Assert.True(frequency >= found * 51 / Takes, $"frequency {frequency}{misses}");
        Assert.True(amplitude >= found * 51 / Takes, $"amplitude {amplitude}{misses}");
        Assert.True(depth >= found * 51 / Takes, $"depth {depth}{misses}");
        // And they are worth having: half of them no wider than 15 % of the depth.
        Assert.InRange(width.Order().ElementAt(width.Count / 2), 0, 0.15);
    }

    /// <summary>Sines and pulse trains of 60…900 Hz, over 1 % on camera, away from beats slower than half a hertz.</summary>
    private static SyntheticTake Scene(int i, out double hertz)
    {
        var dice = new NormalNoise(9000 + i);
        string rate = new[] { "24000/1001", "25", "30000/1001", "50" }[i % 4];
        do hertz = dice.Between(60, 900);
        while (Math.Abs(AliasFrequency.Of(hertz, FrameRate.Parse(rate))) < 0.5 || Math.Abs(AliasFrequency.Of(2 * hertz, FrameRate.Parse(rate))) < 0.5);
        Waveform light = i % 3 == 0
            ? new PulseLight { FrequencyHz = hertz, Duty = dice.Between(0.2, 0.8), Low = dice.Between(0.3, 0.9), PhaseCycles = dice.Between(0, 1) }
            : Waveform.Sine(hertz, dice.Between(0.02, 0.4), dice.Between(0, 6));
        return new SyntheticTake
        {
            Light = light, Rate = rate, Frames = 120, Rows = 64, Seed = i, ExposureSeconds = 1 / dice.Between(1.3 * hertz, 6 * hertz),
            ReadoutSeconds = dice.Between(0.008, 0.019), RowNoise = dice.Between(0.0005, 0.004), Strips = 4,
        };
    }
}
