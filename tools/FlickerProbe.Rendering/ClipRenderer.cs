using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Scene;
using FlickerProbe.Rendering.Truth;

namespace FlickerProbe.Rendering;

/// <summary>Makes clips from recipes.</summary>
public static class ClipRenderer
{
    /// <summary>
    /// Renders <paramref name="recipe"/> to <paramref name="path"/> (mp4, mov, mkv, avi; png and jpg: the first frame
    /// as a still) and returns the truth. With <paramref name="writeTruth"/> the truth is also written to <paramref name="path"/> + ".truth.json".
    /// </summary>
    /// <exception cref="ArgumentException">The recipe contradicts itself; the message says where.</exception>
    /// <exception cref="ClipEncodingException">The encoder refused; the message holds its words.</exception>
    public static ClipTruth Render(ClipRecipe recipe, string path, bool writeTruth = false)
    {
        FramePainter painter = new(recipe);
        IReadOnlyList<PlannedFrame> plan = FramePlan.Of(recipe);
        if (ClipEncoder.IsStill(path))
        {
            plan = [plan[0]];
            recipe = ClipEncoder.ForStill(recipe, path, !painter.Colour);
            painter = new FramePainter(recipe);
        }

        ClipEncoder.Encode(recipe, plan, painter, path);
        ClipTruth truth = Truth(recipe, plan, painter);
        if (writeTruth) File.WriteAllText(path + ".truth.json", truth.ToJson());
        return truth;
    }

    /// <summary>
    /// Paints without encoding: the sample planes of each frame (Y, then Cb and Cr) as the encoder would get them, one
    /// byte or two (low byte first) a sample. The array is reused from frame to frame.
    /// </summary>
    public static IEnumerable<byte[]> Paint(ClipRecipe recipe)
    {
        FramePainter painter = new(recipe);
        foreach (PlannedFrame frame in FramePlan.Of(recipe))
        {
            painter.Paint(frame);
            yield return painter.Frame;
        }
    }

    /// <summary>The truth of a recipe, worked out without painting (<see cref="RegionTruth.DepthInClip"/> included).</summary>
    public static ClipTruth Truth(ClipRecipe recipe)
    {
        FramePainter painter = new(recipe);
        IReadOnlyList<PlannedFrame> plan = FramePlan.Of(recipe);
        foreach (PlannedFrame frame in plan) painter.ExposeRows(frame);
        return Truth(recipe, plan, painter);
    }

    private static ClipTruth Truth(ClipRecipe recipe, IReadOnlyList<PlannedFrame> plan, FramePainter painter)
    {
        Dictionary<string, IReadOnlyList<StepTruth>> known = [];
        return new ClipTruth
        {
            FrameRate = recipe.FrameRate,
            ExposureSeconds = recipe.ExposureSeconds,
            ReadoutSeconds = recipe.ReadoutSeconds,
            Frames = plan,
            Recipe = recipe,
            Regions =
            [
                .. recipe.Surfaces.Select((s, i) => new RegionTruth
                {
                    Name = s.Name,
                    Area = s.Area ?? new PixelArea(0, 0, recipe.Width, recipe.Height),
                    SignalLevel = s.SignalLevel,
                    DepthInClip = painter.DepthInClip(i),
                    Steps = StepsOf(recipe, s, known),
                }),
            ],
        };
    }

    /// <summary>Surfaces in the same light share one truth, which takes a while to find.</summary>
    private static IReadOnlyList<StepTruth> StepsOf(ClipRecipe recipe, Surface s, Dictionary<string, IReadOnlyList<StepTruth>> known)
    {
        string light = $"{s.Colour} {string.Join(';', s.Lights.Select(l => $"{l.Source}*{l.Share:R}"))}";
        if (!known.TryGetValue(light, out IReadOnlyList<StepTruth>? steps)) known[light] = steps = TruthFinder.Steps(recipe, s);
        return steps;
    }
}
