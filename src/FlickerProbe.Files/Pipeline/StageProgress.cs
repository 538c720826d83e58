namespace FlickerProbe.Files.Pipeline;

/// <summary>How far one piece of work has come.</summary>
/// <param name="Work">What is being worked on, for a person: a clip's name and the stage.</param>
/// <param name="Share">Share done, 0…1; null when it can't be told.</param>
public readonly record struct StageProgress(string Work, double? Share);
