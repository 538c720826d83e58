namespace FlickerProbe.Units;

/// <summary>Something a person gave can't be used; the message is one plain sentence: what was found, what was expected, what to do.</summary>
public sealed class InputException : Exception
{
    /// <summary>Creates the problem with its sentence.</summary>
    public InputException(string message) : base(message) { }

    /// <summary>Creates the problem with its sentence and the cause.</summary>
    public InputException(string message, Exception cause) : base(message, cause) { }
}
