namespace FlickerProbe.Measurement;

/// <summary>What the estimator may assume and should hand out.</summary>
/// <param name="WithExhibit">Whether the data behind the pictures is wanted.</param>
public sealed record EstimatorOptions(bool WithExhibit = true);
