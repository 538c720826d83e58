using System.Numerics;

namespace FlickerProbe.Measurement;

/// <summary>What an overtone that was not seen may do to bands that hardly move: it slopes much as they do and goes into their strength, their pace and their
/// number, without leaving anything that would betray it.</summary>
/// <remarks>Bare rectified mains at 25 frames a second, a tenth of a beat in the clip and under half a band in the region, fits one cosine to within its
/// noise that is an eighth too weak and a quarter too fast. Where the bands move, or are many, the fit tells them apart and nothing is added.</remarks>
internal static class UnseenOvertones
{
    /// <summary>How much of its fundamental the first overtone may have unseen: 95 of 100 lamps have less. Mains ripple stays under it: common practice, no source.</summary>
    private const double LargestShare = 0.25;

    /// <summary>They may have added this share of an amplitude as it was read at most: a slope in time and along the rows is for the first of them, a quarter as strong and twice
    /// as steep both ways, at most as steep as the fundamental's own. What they may have taken away has no such end.</summary>
    public const double MostTaken = 0.5;

    /// <summary>Ripple of rectified mains falls off as the square of the overtone's number (the series of |sin|: 1/(4n² − 1)); those beyond the fourth are nothing.</summary>
    private const int Highest = 4;

    /// <summary>A complex amplitude of normal parts, each of one deviation, stays within so many of them in 95 of 100 cases: √(−2 ln 0.05), Rayleigh's distribution.</summary>
    private static readonly double Coverage95OfModulus = Math.Sqrt(-2 * Math.Log(0.05));

    /// <summary>The model with its slow tones as doubtful as overtones of theirs make them that are not in it.</summary>
    public static ToneModel Counted(ToneModel model, LightMatrix matrix)
    {
        PlaneTone[] tones = model.Fit.Tones;
        var unseen = new List<(PlaneTone Tone, double Deviation)>();
        for (int lead = 0; lead < tones.Length; lead++)
        {
            PlaneTone tone = tones[lead];
            if (tone.TiedTo >= 0 || !ToneModel.IsSlow(tone, matrix)) continue;
            // Deviations are scaled by the noise about a tone where they are stated; this one is none of noise.
            double first = LargestShare * tone.Amplitude / Coverage95OfModulus / model.NoiseScale(tone);
            for (int multiple = 2; multiple <= Highest; multiple++)
            {
                if (Array.Exists(tones, t => t.TiedTo == lead && t.AlsoTiedTo < 0 && t.Multiple == multiple)) continue;
                unseen.Add((new PlaneTone(tone.X * multiple, tone.Nu * multiple, Complex.Zero) { TiedTo = lead, Multiple = multiple }, first * 4 / (multiple * multiple)));
            }
        }
        return model with { Fit = model.Fit.Beside(unseen, Math.Sqrt(2 * model.PowerRatioNeeded)) };
    }
}
