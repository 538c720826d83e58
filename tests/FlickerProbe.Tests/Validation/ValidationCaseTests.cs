using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Scene;
using FlickerProbe.Rendering.Truth;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Tests.Validation;

/// <summary>The cases of tools/validate and what is held to be true of them.</summary>
public sealed class ValidationCaseTests
{
    [Fact]
    public void A_seed_always_makes_the_same_clip()
    {
        ValidationCase a = ValidationCase.FromSeed(123), b = ValidationCase.FromSeed(123);

        Assert.Equal(a.Recipe.ToJson(), b.Recipe.ToJson());
        Assert.Equal(a.Summary(), b.Summary());
        Assert.NotEqual(a.Recipe.ToJson(), ValidationCase.FromSeed(124).Recipe.ToJson());
    }

    [Fact]
    public void Cases_obey_the_camera_that_shot_them()
    {
        for (int seed = 400; seed < 600; seed++)
        {
            ClipRecipe r = ValidationCase.FromSeed(seed).Recipe;
            double period = 1 / CaseTruth.TickHz(r);

            Assert.InRange(r.ExposureSeconds, 1e-5, period * 1.000001);
            Assert.InRange(Math.Abs(r.ReadoutSeconds), 0, period);
            Assert.InRange(r.Frames / r.FrameRate.FramesPerSecond, 2.4, 8.1);
        }
    }

    [Fact]
    public void An_evening_is_one_lamp_before_one_camera()
    {
        int wandering = 0;
        for (int seed = 0; seed < 60; seed++)
        {
            EveningCase evening = EveningCase.SmallFromSeed(seed);

            Assert.InRange(evening.Takes.Count, 1, 3);
            Assert.Equal(2, evening.Formats.Count);
            Assert.Single(evening.Takes.Select(t => t.Recipe.ReadoutSeconds).Distinct());
            // The lamp's depth is the same from whichever take it is worked out, but for how far mains and drivers have wandered.
            double[][] rates = [.. evening.Takes.Select(t => t.Fundamentals.Select(f => f.Hertz).ToArray())];
            Assert.All(rates, r => Assert.All(r.Zip(rates[0]), f => Assert.InRange(f.First / f.Second, 0.995, 1.005)));
            bool wanders = rates.Any(r => !r.SequenceEqual(rates[0]));
            if (wanders) wandering++;
            double[] depths = [.. evening.Takes.Select(t => CaseTruth.DepthAt(t.Recipe, 1 / 640.0))];
            Assert.True(wanders || depths.Max() - depths.Min() <= 0.02 * depths.Max() + 1e-6);
            foreach (ValidationCase take in evening.Takes)
            {
                Assert.InRange(take.Recipe.ExposureSeconds, 1e-5, 1.000001 / take.Recipe.FrameRate.FramesPerSecond);
                Assert.InRange(Math.Abs(take.Recipe.ReadoutSeconds), 0, 1 / take.Recipe.FrameRate.FramesPerSecond);
            }
        }
        // A quarter of the drivers, where there is one and more than one take.
        Assert.InRange(wandering, 1, 20);
    }

    [Fact]
    public void Every_kind_turns_up_among_a_few_hundred_cases()
    {
        ValidationCase[] cases = [.. Enumerable.Range(0, 400).Select(ValidationCase.SmallFromSeed)];
        foreach ((string property, int kinds) in new[] { ("light", 6), ("codec", 12), ("curve", 6), ("trap", 16), ("bits", 3), ("rate", 10), ("shutter", 16) })
        {
            HashSet<string> seen = [.. cases.Select(c => c.Properties[property])];

            Assert.True(seen.Count >= kinds, $"Of '{property}' only {string.Join(", ", seen)} turned up.");
        }
    }

    [Fact]
    public void The_truth_of_a_case_is_that_of_its_rendered_clip_when_the_mains_run_at_nominal()
    {
        int compared = 0;
        for (int seed = 0; compared < 8; seed++)
        {
            ValidationCase c = ValidationCase.SmallFromSeed(seed);
            if (c.Reference is not null || c.Properties["light"] is "steady" or "pulses on ripple" or "two lights") continue;
            compared++;
            c = c with { Recipe = c.Recipe with { Mains = c.Recipe.Mains with { OffsetHz = 0, Swings = [] } } };

            CaseTruth truth = CaseTruth.Of(c);
            ClipTruth rendered = ClipRenderer.Truth(c.Recipe);

            LightTruth light = rendered.Regions[0].Steps[0].Recorded;
            Assert.Equal(light.OnCameraDepth, truth.DepthOnCamera, 1e-6);
            ComponentTruth? strongest = light.Components.MaxBy(k => k.OnCameraAmplitude);
            if (strongest is null || strongest.OnCameraAmplitude < 2e-4) continue;
            Assert.Equal(strongest.FrequencyHz, truth.Tones[0].FrequencyHz, 1e-6 * strongest.FrequencyHz);
            Assert.Equal(strongest.OnCameraAmplitude, truth.Tones[0].OnCamera, 1e-6);
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(90)]
    [InlineData(180)]
    [InlineData(270)]
    public void A_region_is_found_again_in_the_turned_picture(int degrees)
    {
        const int Width = 12, Height = 8;
        PixelArea area = new(3, 1, 5, 4);
        int turnedWidth = degrees % 180 == 0 ? Width : Height;
        var (x, y, w, h) = CaseBuilder.Displayed(area, Width, Height, degrees);

        // The slow way: turn every pixel clockwise a quarter at a time and look which of them are inside.
        for (int cx = 0; cx < Width; cx++)
        {
            for (int cy = 0; cy < Height; cy++)
            {
                (int px, int py, int pw, int ph) = (cx, cy, Width, Height);
                for (int turn = 0; turn < degrees / 90; turn++) (px, py, pw, ph) = (ph - 1 - py, px, ph, pw);
                bool inside = cx >= area.X && cx < area.X + area.Width && cy >= area.Y && cy < area.Y + area.Height;

                Assert.Equal(turnedWidth, pw);
                Assert.Equal(inside, px >= x && px < x + w && py >= y && py < y + h);
            }
        }
    }
}
