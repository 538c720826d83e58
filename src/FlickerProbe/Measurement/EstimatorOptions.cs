namespace FlickerProbe.Measurement;

/// <summary>What the estimator may assume and should hand out.</summary>
/// <param name="WithExhibit">Whether the data behind the pictures is wanted.</param>
/// <param name="BetweenRounds">Called when large planes have just been done with; null for nothing.</param>
public sealed record EstimatorOptions(bool WithExhibit = true, Action? BetweenRounds = null);
