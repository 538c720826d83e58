using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>The overtones of the main light that were too faint to state, read off the residual at the places where they must be.</summary>
/// <remarks>A flat-topped pulse rebuilt without its faint overtones overshoots. At a known place noise is the only doubt, which is far
/// less than the limit of a blind search.</remarks>
internal static class FaintOvertones
{
    /// <summary>Overtones looked at.</summary>
    private const int Highest = OvertoneGrouping.HighestOvertone;

    /// <summary>The lowest overtones count whatever they show, noise included; higher ones when they stand this many deviations above nothing.</summary>
    public const int Lowest = 4;

    private const double Deviations = 2.5;

    /// <summary>Terms for the waveform of the main group; none when its fundamental is not seen or other groups share its phases.</summary>
    public static List<RecordedWaveform.Term> Of(LightMatrix matrix, ToneModel model)
    {
        var faint = new List<RecordedWaveform.Term>();
        OvertoneGrouping.ToneGroup? group = model.Grouping.Groups.MaxBy(g => g.Members.Max(m => model.Fit.Tones[m.Tone].Amplitude));
        if (group is null || model.Grouping.Combinations.Count > 0 || group.Members.TrueForAll(m => m.Multiple != 1)) return faint;
        var stated = group.Members.Select(m => m.Multiple).ToHashSet();
        var beside = new List<PlaneTone>();
        for (int multiple = 2; multiple <= Highest; multiple++)
        {
            if (stated.Contains(multiple)) continue;
            PlaneTone place = new PlaneTone(group.X * multiple, group.Nu * multiple, Complex.Zero) { Multiple = multiple };
            if (StandsFree(matrix, model, place))
            {
                double deviation = model.Fit.Sigma * Sqrt(2.0 / ((double)matrix.Count * matrix.Lines)) * model.NoiseScale(place);
                Complex z = Project(matrix, model.Fit.Residual, place);
                if (multiple <= Lowest || z.Magnitude > Deviations * deviation) faint.Add(new RecordedWaveform.Term(z, multiple, 0, deviation));
            }
            else if (multiple <= Lowest && CanBeRead(matrix, model, place))
            {
                beside.Add(place);
            }
        }
        if (beside.Count == 0) return faint;
        IEnumerable<PlaneTone> read = model.FitWith(beside).Tones.Skip(model.Fit.Tones.Length);
        return [.. faint, .. read.Select(t => new RecordedWaveform.Term(t.AtFirstCell(matrix), t.Multiple, 0, t.AmplitudeDeviation * model.NoiseScale(t)))];
    }

    /// <summary>Whether what is at a place can be read, if only in a fit beside the other tones: it moves a little, and none of them stands there.</summary>
    public static bool CanBeRead(LightMatrix matrix, ToneModel model, PlaneTone place) =>
        ToneFit.Moves(place, matrix) && model.Fit.Tones.All(t => ToneFit.CanTellApart(t, place, matrix));

    /// <summary>Whether the residual alone shows what is at a place: hardly moving ones hide in the lines' own means, and near another tone that tone's fit has taken them in.</summary>
    private static bool StandsFree(LightMatrix matrix, ToneModel model, PlaneTone place) =>
        !ToneModel.IsSlow(place, matrix) && !model.Fit.Tones.Any(t => ToneSearch.IsSame(t, place.X, place.Nu, matrix));

    /// <summary>Complex amplitude of a cosine in the plane, referred to the first tick and line.</summary>
    private static Complex Project(LightMatrix matrix, float[] plane, PlaneTone place)
    {
        (float[] cosine, float[] sine) = RowKernel.Wave(place.Nu, matrix.Lines, 0);
        Complex[] ticks = [.. Enumerable.Range(0, matrix.Ticks).Select(n => Complex.FromPolarCoordinates(1, 2 * PI * (place.X * n + place.Nu * matrix.LineOffset(n))))];
        return 2 * matrix.Project(plane, ticks, [cosine, cosine], [sine, sine]) / ((double)matrix.Count * matrix.Lines);
    }
}
