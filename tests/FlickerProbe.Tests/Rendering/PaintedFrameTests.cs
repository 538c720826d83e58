using System.Runtime.InteropServices;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using FlickerProbe.Rendering.Truth;
using Xunit;

namespace FlickerProbe.Tests.Rendering;

/// <summary>The painted codes, decoded here by hand, against the light at the time each row was exposed.</summary>
public class PaintedFrameTests
{
    private static readonly Waveform Light = Waveform.Sine(317.3, 0.4, 0.7);

    private static ClipRecipe Wall() => ClipRecipe.Wall(Light, new FrameRate(30000, 1001), 1 / 500.0, 0.014, 1) with
    {
        Width = 16,
        Height = 80,
        Frames = 5,
        StartSeconds = 0.0123,
        Noise = new SensorNoise { CodesAtMid = 0 },
        Layout = new PixelLayout { Bits = 12, Chroma = ChromaSampling.Gray },
    };

    /// <summary>Linear light of one 12-bit limited-range BT.709 code, relative to signal 0.55.</summary>
    private static double Relative(ushort code)
    {
        double Linear(double v) => v < 0.081 ? v / 4.5 : Math.Pow((v + 0.099) / 1.099, 1 / 0.45);
        return Linear((code - 256) / 3504.0) / Linear(0.55);
    }

    private static List<ushort[]> Frames(ClipRecipe recipe) => [.. ClipRenderer.Paint(recipe).Select(f => MemoryMarshal.Cast<byte, ushort>(f.AsSpan()).ToArray())];

    [Theory]
    [InlineData(0.014)]
    [InlineData(-0.014)]
    [InlineData(0)]
    public void Each_row_sees_the_light_of_its_own_time(double readout)
    {
        ClipRecipe recipe = Wall() with { ReadoutSeconds = readout };
        LightAnalysis light = LightAnalysis.Of(Light);
        List<ushort[]> frames = Frames(recipe);
        for (int n = 0; n < 5; n++)
        {
            for (int r = 0; r < 80; r++)
            {
                double centre = 0.0123 + n * 1001 / 30000.0 + r * readout / 80;
                // Half a code of 12 bits is 0.03 % of the light at this level.
                Assert.Equal(light.ExposureAverage(centre, 1 / 500.0), Relative(frames[n][r * 16 + 3]), 6e-4);
            }
        }
    }

    [Theory]
    [InlineData(FieldOrder.TopFirst)]
    [InlineData(FieldOrder.BottomFirst)]
    public void The_second_field_is_half_a_frame_later(FieldOrder order)
    {
        ClipRecipe recipe = Wall() with { FrameRate = new FrameRate(25), Faults = new ClipFaults { Fields = order } };
        LightAnalysis light = LightAnalysis.Of(Light);
        List<ushort[]> frames = Frames(recipe);
        for (int r = 0; r < 80; r++)
        {
            bool second = (r % 2 == 1) == (order == FieldOrder.TopFirst);
            double centre = 0.0123 + 2 / 25.0 + r * 0.014 / 80 + (second ? 0.02 : 0);
            Assert.Equal(light.ExposureAverage(centre, 1 / 500.0), Relative(frames[2][r * 16]), 6e-4);
        }
    }

    [Fact]
    public void A_drifting_mains_moves_the_bands()
    {
        Waveform ripple = Waveform.Sine(100, 0.3, 0, mainsLocked: true);
        ClipRecipe recipe = Wall() with
        {
            Sources = [LightSource.Of("lamp", ripple)],
            StartSeconds = 8,
            Mains = new MainsSupply { NominalHz = 50, OffsetHz = 0.5 },
        };
        List<ushort[]> frames = Frames(recipe);
        double gain = TruthFinder.ExposureGain(101, 1 / 500.0);
        for (int r = 0; r < 80; r += 7)
            Assert.Equal(1 + 0.3 * gain * Math.Cos(2 * Math.PI * 101 * (8 + r * 0.014 / 80)), Relative(frames[0][r * 16]), 6e-4);
    }

    [Fact]
    public void The_truth_counts_the_mains_as_it_was()
    {
        // 60 Hz by name, 59.97 Hz in fact and swinging: twice that is what the clip holds on average.
        ClipRecipe recipe = Wall() with
        {
            Sources = [LightSource.Of("lamp", Waveform.Sine(120, 0.1, 0, mainsLocked: true).Times(new PulseLight { FrequencyHz = 2000, Duty = 0.5 }))],
            Mains = new MainsSupply { NominalHz = 60, OffsetHz = -0.03, Swings = [new MainsSwing(0.01, 5 * 1001 / 30000.0)] },
        };
        IReadOnlyList<ComponentTruth> found = ClipRenderer.Truth(recipe).Region("wall").Steps[0].Light!.Components;
        foreach (double hz in new[] { 119.94, 2000, 2000 - 119.94, 2000 + 119.94 })
            Assert.Contains(found, c => Math.Abs(c.FrequencyHz - hz) < 1e-6);
    }

    [Theory]
    [InlineData(90)]
    [InlineData(180)]
    [InlineData(270)]
    public void Turned_pictures_have_rows_for_columns(int degrees)
    {
        ClipRecipe upright = Wall() with { Layout = new PixelLayout { Bits = 10 }, Noise = new SensorNoise { CodesAtMid = 5 }, Width = 24 };
        ClipRecipe turned = upright with { Faults = new ClipFaults { TurnedDegrees = degrees } };
        Assert.Equal(degrees == 180 ? (24, 80) : (80, 24), turned.CodedSize);
        ushort[] before = Frames(upright)[1], after = Frames(turned)[1];
        (int w, int h) = turned.CodedSize;
        for (int y = 0; y < 80; y += 9)
        {
            for (int x = 0; x < 24; x += 5)
            {
                (int tx, int ty) = degrees switch { 90 => (79 - y, x), 180 => (23 - x, 79 - y), _ => (y, 23 - x) };
                Assert.Equal(before[y * 24 + x], after[ty * w + tx]);
            }
        }

        Assert.Equal(before.Order(), after.Order());
        Assert.Equal(before.Skip(w * h).Distinct(), after.Skip(w * h).Distinct());
    }

    [Fact]
    public void A_stepped_dimmer_keeps_the_ratio_of_its_levels()
    {
        ClipRecipe recipe = Wall() with
        {
            StartSeconds = 0,
            ReadoutSeconds = 0,
            Sources =
            [
                new LightSource
                {
                    Name = "lamp",
                    Steps =
                    [
                        new LightStep { Dimmer = 1, Emitters = [new Emitter(new SteadyLight { Output = 3 }, Rgb.White)] },
                        new LightStep { Dimmer = 0.2, StartSeconds = 0.08, Emitters = [new Emitter(new SteadyLight { Output = 0.6 }, Rgb.White)] },
                    ],
                },
            ],
        };
        List<ushort[]> frames = Frames(recipe);
        Assert.Equal(1, Relative(frames[0][0]), 1e-3);
        Assert.Equal(0.2, Relative(frames[4][0]), 1e-3);
        RegionTruth wall = ClipRenderer.Truth(recipe).Region("wall");
        Assert.Equal([1, 0.2], wall.Steps.Select(s => s.Dimmer!.Value));
        Assert.Equal(0.2, wall.Steps[1].MeanLight, 1e-12);
        Assert.Null(wall.Steps[0].Light);
    }

    [Fact]
    public void Steady_light_dilutes_and_the_truth_tells_both()
    {
        ClipRecipe recipe = Wall() with
        {
            Sources = [LightSource.Of("lamp", Light), LightSource.Of("room", new SteadyLight())],
            Surfaces =
            [
                new Surface
                {
                    Name = "wall",
                    SignalLevel = 0.55,
                    Lights = [new LightOnSurface { Source = "lamp", Share = 0.75 }, new LightOnSurface { Source = "room", Share = 0.25 }],
                },
            ],
        };
        ClipTruth truth = ClipRenderer.Truth(recipe);
        StepTruth step = truth.Region("wall").Steps[0];
        double gain = TruthFinder.ExposureGain(317.3, 1 / 500.0);
        Assert.Equal(0.4, step.Light!.ModulationDepth, 1e-9);
        Assert.Equal(0.3, step.Recorded.ModulationDepth, 1e-9);
        Assert.Equal(0.3 * gain, step.Recorded.OnCameraDepth, 1e-9);
        Assert.Equal(0.3 * gain, truth.Region("wall").DepthInClip, 1e-4);
        Assert.Equal(0.4 * Math.Abs(TruthFinder.ExposureGain(317.3, 1 / 60.0)), truth.OnCameraDepth("wall", 1 / 60.0), 1e-9);
    }

    [Fact]
    public void Noise_has_the_size_asked_for_and_leaves_the_mean_light_alone()
    {
        ClipRecipe recipe = Wall() with
        {
            Width = 400,
            Height = 200,
            Frames = 2,
            Sources = [LightSource.Of("lamp", new SteadyLight())],
            Surfaces = [new Surface { Name = "wall", SignalLevel = 0.5, Lights = [new LightOnSurface { Source = "lamp" }] }],
            Noise = new SensorNoise { CodesAtMid = 2 },
        };
        List<ushort[]> frames = Frames(recipe);
        double mean = frames[0].Average(c => (c - 256) / 16.0), deviation = Math.Sqrt(frames[0].Average(c => Math.Pow((c - 256) / 16.0 - mean, 2)));
        Assert.Equal(2, deviation, 0.03); // in 8-bit codes
        Assert.Equal(TransferCurve.Bt709.Decode(0.5) / TransferCurve.Bt709.Decode(0.55), frames[0].Average(Relative), 3e-4);
        // The next frame's noise is other noise.
        double shared = frames[0].Zip(frames[1]).Average(p => ((p.First - 256) / 16.0 - mean) * ((p.Second - 256) / 16.0 - mean));
        Assert.InRange(shared / (deviation * deviation), -0.02, 0.02);
    }

    [Fact]
    public void Each_colour_follows_its_own_driver()
    {
        Waveform blue = Waveform.Sine(400, 0.8);
        ClipRecipe recipe = Wall() with
        {
            Sources = [LightSource.Of("lamp", [new Emitter(new SteadyLight(), new Rgb(1, 0.8, 0)), new Emitter(blue, new Rgb(0, 0.1, 0.6))])],
            Layout = new PixelLayout { Bits = 12, Chroma = ChromaSampling.C444 },
            Surfaces = [new Surface { Name = "wall", SignalLevel = 0.45, Lights = [new LightOnSurface { Source = "lamp" }] }],
        };
        ushort[] frame = Frames(recipe)[1];
        double scale = TransferCurve.Bt709.Decode(0.45) / (0.2126 + 0.7152 * 0.9 + 0.0722 * 0.6);
        for (int r = 0; r < 80; r += 5)
        {
            double y = (frame[r * 16] - 256) / 3504.0, cb = (frame[1280 + r * 16] - 2048) / 3584.0, cr = (frame[2560 + r * 16] - 2048) / 3584.0;
            double red = y + 1.5748 * cr, b = y + 1.8556 * cb;
            double expected = LightAnalysis.Of(blue).ExposureAverage(0.0123 + 1001 / 30000.0 + r * 0.014 / 80, 1 / 500.0);
            Assert.Equal(scale * 1, TransferCurve.Bt709.Decode(red), 4e-4);
            Assert.Equal(scale * 0.6 * expected, TransferCurve.Bt709.Decode(b), 4e-4);
        }

        StepTruth step = ClipRenderer.Truth(recipe).Region("wall").Steps[0];
        Assert.Equal(0.8, step.Primaries![Channel.Blue].ModulationDepth, 1e-9);
        Assert.Equal(0.08 / 0.9, step.Primaries[Channel.Green].ModulationDepth, 1e-9);
        Assert.Equal(0, step.Primaries[Channel.Red].ModulationDepth, 1e-9);
    }

    [Fact]
    public void Gain_faults_change_the_level_over_time()
    {
        ClipRecipe recipe = Wall() with
        {
            FrameRate = new FrameRate(10),
            Sources = [LightSource.Of("lamp", new SteadyLight())],
            Faults = new ClipFaults { DriftPerSecond = 0.1, GainSteps = [new GainStep(0.25, 0.5), new GainStep(0.35, 1, 0.1)] },
        };
        List<ushort[]> frames = Frames(recipe);
        double[] expected = [1, 1.01, 1.02, 0.5 * 1.03, 0.75 * 1.04];
        for (int n = 0; n < 5; n++) Assert.Equal(expected[n], Relative(frames[n][0]), 1e-3);
    }

    [Fact]
    public void Surfaces_cover_those_behind_and_a_passer_covers_all()
    {
        ClipRecipe recipe = Wall() with
        {
            Width = 64,
            FrameRate = new FrameRate(10),
            Sources = [LightSource.Of("lamp", new SteadyLight()), LightSource.Of("spot", new SteadyLight())],
            Surfaces =
            [
                new Surface { Name = "wall", SignalLevel = 0.3, Lights = [new LightOnSurface { Source = "lamp" }] },
                new Surface { Name = "card", Area = new PixelArea(20, 10, 30, 40), SignalLevel = 0.55, Lights = [new LightOnSurface { Source = "spot" }] },
            ],
            Passers = [new Passer { StartX = -10, PixelsPerSecond = 200, Width = 8, Top = 30, SignalLevel = 0.2, Lights = [new LightOnSurface { Source = "lamp" }] }],
        };
        List<ushort[]> frames = Frames(recipe);
        Assert.Equal(256 + 3504 * 0.3, frames[0][5 * 64 + 30], 0.51);
        Assert.Equal(256 + 3504 * 0.55, frames[0][15 * 64 + 30], 0.51);
        Assert.Equal(256 + 3504 * 0.55, frames[2][15 * 64 + 30], 0.51); // above the passer's top
        Assert.Equal(256 + 3504 * 0.2, frames[2][35 * 64 + 30], 0.51); // 0.2 s · 200 − 10 = 30
        Assert.Equal(256 + 3504 * 0.55, frames[0][35 * 64 + 30], 0.51);
    }

    [Fact]
    public void A_recipe_survives_JSON_and_paints_the_same()
    {
        ClipRecipe recipe = Wall() with
        {
            Noise = new SensorNoise { CodesAtMid = 3 },
            Curve = TransferCurve.InventedLog(64),
            Sources = [LightSource.Of("lamp", Light.Times(new PulseLight { FrequencyHz = 2000, Duty = 0.5 }))],
            Faults = new ClipFaults { DroppedFrames = [2], StabiliserRows = 1.5, RateSteps = [new RateStep(3, new FrameRate(24000, 1001))] },
        };
        ClipRecipe again = ClipRecipe.FromJson(recipe.ToJson());
        Assert.Equal(recipe.ToJson(), again.ToJson());
        Assert.Equal(Frames(recipe), Frames(again));
        Assert.NotEqual(Frames(recipe), Frames(recipe with { Seed = 2 }));
    }
}
