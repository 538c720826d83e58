using MathNet.Numerics.LinearAlgebra;

namespace FlickerProbe.Footage;

/// <summary>Least squares of a level and beats (no slope) on a part of a trace.</summary>
internal static class LevelStepsFit
{
    /// <summary>Coefficients: level, then cosine and sine of each beat.</summary>
    internal static double[] Coefficients(double[] part, int firstSample, LevelStepsModel model)
    {
        int terms = 1 + 2 * model.Beats.Count;
        Matrix<double> regressors = Matrix<double>.Build.Dense(part.Length, terms, (i, k) => Regressor(k, firstSample + i, model));
        Matrix<double> normal = regressors.TransposeThisAndMultiply(regressors);
        for (int k = 1; k < terms; k++)
        {
            double expected = Math.Max(model.Beats[(k - 1) / 2].Amplitude, 1e-6);
            normal[k, k] += Math.Pow(model.Noise / expected, 2) + 1e-9;
        }
        return normal.Cholesky().Solve(regressors.TransposeThisAndMultiply(Vector<double>.Build.DenseOfArray(part))).ToArray();
    }

    /// <summary>The model's value at a sample.</summary>
    internal static double Value(double[] coefficients, int sample, LevelStepsModel model)
    {
        double value = 0;
        for (int k = 0; k < coefficients.Length; k++) value += coefficients[k] * Regressor(k, sample, model);
        return value;
    }

    private static double Regressor(int term, int sample, LevelStepsModel model)
    {
        if (term == 0) return 1;
        double phase = model.Beats[(term - 1) / 2].RadiansPerSample * sample;
        return term % 2 == 1 ? Math.Cos(phase) : Math.Sin(phase);
    }
}
