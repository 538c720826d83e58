namespace FlickerProbe.Measurement;

/// <summary>Weights of the lines in the fit: inverse variance of what the tones leave, mean 1.</summary>
internal static class LineWeights
{
    /// <summary>All lines alike.</summary>
    public static double[] Even(int lines)
    {
        double[] weights = new double[lines];
        Array.Fill(weights, 1);
        return weights;
    }

    /// <summary>From the residual of a fit; smoothed along the lines and limited, so that no single line rules the fit.</summary>
    public static double[] FromResidual(LightMatrix matrix, float[] residual)
    {
        double[] variance = new double[matrix.Lines];
        for (int n = 0; n < matrix.Ticks; n++)
        {
            if (!matrix.Present[n]) continue;
            for (int r = 0; r < matrix.Lines; r++) variance[r] += residual[n * matrix.Lines + r] * (double)residual[n * matrix.Lines + r];
        }
        double[] smooth = new double[matrix.Lines];
        for (int r = 0; r < matrix.Lines; r++)
        {
            int from = Math.Max(0, r - 4), to = Math.Min(matrix.Lines - 1, r + 4);
            for (int i = from; i <= to; i++) smooth[r] += variance[i] / (to - from + 1);
        }
        double floor = Math.Max(Order.Median(smooth), 1e-30) / 20;
        double[] weights = [.. smooth.Select(v => 1 / Math.Max(v, floor))];
        double mean = weights.Average();
        for (int r = 0; r < weights.Length; r++) weights[r] = Math.Max(weights[r] / mean, 1e-3);
        // A black line carries no light and no weight.
        for (int r = 0; r < weights.Length; r++)
        {
            if (matrix.MeanLight.All(p => p[r] <= 1e-4)) weights[r] = 1e-6;
        }
        return weights;
    }
}
