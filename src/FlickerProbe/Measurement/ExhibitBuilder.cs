using FlickerProbe.Footage;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>The data behind a take's pictures: bands over time, and the spectrum along the rows.</summary>
internal static class ExhibitBuilder
{
    private const int MostCells = 400;

    /// <summary>Builds it.</summary>
    public static TakeExhibit Of(LightMatrix matrix, ToneModel model, SampledTake take)
    {
        // The first frames only: averaging many would wash rolling bands out. About two seconds read well.
        int ticks = Min(Min(matrix.Ticks, MostCells), Max(24, (int)(2 * matrix.TickHz)));
        int rows = Min(matrix.Lines, MostCells);
        float[,] picture = new float[ticks, rows];
        for (int n = 0; n < ticks; n++)
        {
            double[]? mean = model.Fit.MeanFlicker.Length > 0 ? model.Fit.MeanFlicker[matrix.ParityOf(n)] : null;
            for (int i = 0; i < rows; i++)
            {
                int from = (int)((long)i * matrix.Lines / rows), to = Max(from + 1, (int)((long)(i + 1) * matrix.Lines / rows));
                double sum = 0;
                for (int r = from; r < to; r++) sum += (matrix.Relative[n * matrix.Lines + r] + 1) * (1 + (mean?[r] ?? 0)) - 1;
                picture[n, i] = (float)(sum / (to - from));
            }
        }

        double[] amplitude = model.HighestByBand, frequency = new double[amplitude.Length];
        // The spectrum has the bins of ν ≥ 0 alone, both ends among them.
        double bandsPerBin = matrix.LinesPerHeight / (2.0 * (amplitude.Length - 1));
        bool inHertz = take.Readout is { IsGlobal: false };
        for (int l = 0; l < frequency.Length; l++)
        {
            double bands = l * bandsPerBin;
            frequency[l] = inHertz ? bands / Abs(take.Readout!.Seconds) : bands;
        }
        return new TakeExhibit(picture, ticks / matrix.TickHz, frequency, amplitude, inHertz);
    }
}
